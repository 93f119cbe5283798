#include "evidence/likelihood.h"

#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>

namespace lastreach {

PseudoResidual StudentResidual(double observed, double predicted, double sd, double nu) {
  const double e = (observed - predicted) / sd;
  PseudoResidual out;
  const double size = std::sqrt((nu + 1) * std::log1p(e * e / nu));
  out.value = e < 0 ? -size : size;
  // Near 0 the quotient is 0 / 0 with this limit.
  const double by_e = size > 1e-8 ? (nu + 1) * e / (nu + e * e) / out.value : std::sqrt((nu + 1) / nu);
  out.slope = -by_e / sd;
  out.weight = std::min(1.0, (nu + 1) / (nu + e * e));
  out.information = (nu + 1) / (nu + 3) * out.weight / (sd * sd);
  return out;
}

PseudoResidual CensoredResidual(double limit, double predicted, double sd, double nu) {
  const boost::math::students_t student(nu);
  const double u = (limit - predicted) / sd;
  const double below = boost::math::cdf(student, u);
  const double above = boost::math::cdf(boost::math::complement(student, u));
  const double density = boost::math::pdf(student, u);
  PseudoResidual out;
  // Never quite 0, so that the root has a slope everywhere.
  const double loss = -std::log1p(-above) + 1e-9;
  out.value = std::sqrt(2 * (below > 0.5 ? loss : -std::log(below) + 1e-9));
  out.slope = density / (below * out.value * sd);
  out.information = density * density / (below * above * sd * sd);
  out.weight = std::min(1.0, 2 * below);
  return out;
}

}  // namespace lastreach
