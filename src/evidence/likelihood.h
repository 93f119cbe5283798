#pragma once

#include <limits>

namespace lastreach {

// A reading against what a model says, as a pseudo-residual r: r^2 / 2 is the negative logarithm of the
// likelihood, up to a constant, so that least squares find the likeliest numbers.
struct PseudoResidual {
  double value = 0;
  double slope = 0;        // d r / d predicted
  double information = 0;  // what the reading tells of the predicted value [1/unit^2]
  double weight = 1;       // how far it is believed: 1 as any other, near 0 for one that does not fit
};

// Student's t with nu degrees of freedom, so that one bad reading pulls no more than a few good ones:
//
//   r = sign(e) sqrt((nu + 1) ln(1 + e^2 / nu)),   e = (observed - predicted) / sd
//
// Information is Fisher's, (nu + 1) / (nu + 3) / sd^2, times the weight (nu + 1) / (nu + e^2), at most 1.
PseudoResidual StudentResidual(double observed, double predicted, double sd, double nu);

// A reading below the kit's limit, "<0.1" or "ND": all that is known is that less was there,
//
//   likelihood = T((limit - predicted) / sd),
//
// with T Student's distribution, so that one bottle mixed up pulls no more than any other bad reading.
// Information is what being below or not tells, T'^2 / (T (1 - T)) / sd^2.
PseudoResidual CensoredResidual(double limit, double predicted, double sd, double nu);

}  // namespace lastreach
