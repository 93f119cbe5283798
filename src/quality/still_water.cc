#include "quality/still_water.h"

#include <array>
#include <cmath>
#include <complex>
#include <cstddef>
#include <numbers>

namespace lastreach {
namespace {

using Complex = std::complex<double>;

constexpr std::size_t kKnots = 257;
constexpr double kTableEnd = 1;  // Fourier number; the second mode is then below 1e-10 of the first

// Points and weights for turning a Laplace transform back: f(t) = Im SUM weight F(point / t) / t.
// SOURCE: Weideman & Trefethen, Math. Comp. 76, 1341-1356, 2007 (the improved cotangent contour; error about
// exp(-1.36 n), here 7e-15).
struct Contour {
  static constexpr std::size_t kPairs = 12;
  std::array<Complex, kPairs> point;
  std::array<Complex, kPairs> weight;

  Contour() {
    constexpr double kPoints = 2.0 * kPairs;
    for (std::size_t k = 0; k < kPairs; ++k) {
      const double angle = (2 * static_cast<double>(k) + 1) * std::numbers::pi / kPoints;
      const double inner = 0.6407 * angle;
      const double cotangent = std::cos(inner) / std::sin(inner);
      const double sine = std::sin(inner);
      point[k] = kPoints * Complex(-0.6122 + 0.5017 * angle * cotangent, 0.2645 * angle);
      const Complex step(0.5017 * (cotangent - inner / (sine * sine)), 0.2645);
      weight[k] = 2.0 * std::exp(point[k]) * step;  // the factor kPoints of the step and 1 / kPoints cancel
    }
  }
};

// I1(q) / I0(q) for Re q > 0.
Complex BesselRatio(Complex q) {
  if (std::abs(q) > 50) {
    const Complex r = 1.0 / q;
    return 1.0 -
           r * (0.5 + r * (0.125 + r * (0.125 + r * (25.0 / 128 + r * (13.0 / 32 + r * (1073.0 / 1024))))));
  }
  const int terms = 20 + static_cast<int>(1.6 * std::abs(q));
  Complex tail = 0;
  for (int m = terms; m >= 1; --m) tail = 1.0 / (2.0 * m / q + tail);
  return tail;
}

struct ShareLost {
  double share;  // 1 - phi
  double rate;   // d share / d fourier
};

// From the transform of the mean over the width, 1 - phi -> 2 Bi r / (p q (q r + Bi)), q = sqrt(p), r = I1 /
// I0.
ShareLost LostAt(double biot, double fourier) {
  static const Contour kContour;
  ShareLost lost{0, 0};
  for (std::size_t k = 0; k < Contour::kPairs; ++k) {
    const Complex p = kContour.point[k] / fourier;
    const Complex q = std::sqrt(p);
    const Complex ratio = BesselRatio(q);
    const Complex rate = 2.0 * biot * ratio / (q * (q * ratio + biot));
    lost.rate += (kContour.weight[k] * rate).imag() / fourier;
    lost.share += (kContour.weight[k] * rate / p).imag() / fourier;
  }
  return lost;
}

}  // namespace

StillWater::StillWater(double biot) : biot_(biot), stretch_(std::max(biot, 1.0)) {
  if (biot == 0) return;
  const double end = std::log1p(stretch_ * std::sqrt(kTableEnd));
  const double spacing = end / (kKnots - 1);
  knots_per_unit_ = 1 / spacing;
  value_.assign(kKnots, 0);
  slope_.assign(kKnots, 0);  // at rest the first knot is 0 with slope 0: dT/du = 0 there
  for (std::size_t k = 1; k < kKnots; ++k) {
    const double grown = std::expm1(static_cast<double>(k) * spacing);
    const double root = grown / stretch_;
    const ShareLost lost = LostAt(biot, root * root);
    value_[k] = -std::log1p(-lost.share);
    late_slope_ = lost.rate / (1 - lost.share);
    slope_[k] = late_slope_ * 2 * root * (grown + 1) / stretch_ * spacing;
  }
}

double StillWater::LogLoss(double fourier) const {
  if (biot_ == 0) return 0;
  if (fourier >= kTableEnd) return value_.back() + late_slope_ * (fourier - kTableEnd);
  const double place = std::log1p(stretch_ * std::sqrt(fourier)) * knots_per_unit_;
  const std::size_t k = std::min(static_cast<std::size_t>(place), kKnots - 2);
  const double x = place - static_cast<double>(k);
  const double y = 1 - x;
  return y * y * ((1 + 2 * x) * value_[k] + x * slope_[k]) +
         x * x * ((1 + 2 * y) * value_[k + 1] - y * slope_[k + 1]);
}

double EarlyAbsorbedShare(double fourier) { return 4 * std::sqrt(fourier / std::numbers::pi); }

}  // namespace lastreach
