#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "evidence/fit_model.h"

namespace lastreach {

// What the readings leave open of the unknowns z of a FitModel, round the likeliest: Laplace's normal
// distribution,
//
//   covariance = (I + G)^-1,   G = SUM over readings of information x slope slope^T
//
// with Fisher's information of each reading (likelihood.h) in place of second derivatives, and I the prior.
struct FitPosterior {
  using Slopes = std::vector<std::pair<int, double>>;  // unknown and d value / d z

  std::size_t unknowns = 0;
  std::vector<double> information;  // G, row by row
  std::vector<double> covariance;   // row by row

  double At(std::size_t row, std::size_t column) const { return covariance[row * unknowns + column]; }
  double Sd(std::size_t unknown) const;
  // Makes one unknown less sure than the curvature at the likeliest says, its correlations as they are.
  void Widen(std::size_t unknown, double factor);
  // Of two numbers that follow the unknowns by these slopes.
  double Covariance(const Slopes& a, const Slopes& b) const;
};

// COST: cubic in the unknowns; a millisecond for 100.
FitPosterior PosteriorOf(const FitModel& model, std::span<const double> z, double nu);

// "loss in the bulk", "use of A-12".
std::string NameOf(const FittedNumber& number);

// What the readings cannot tell apart, one sentence each. A direction of z in which the readings know less
// than the prior did (an eigenvector of G with an eigenvalue below 1) is told of if it mixes two numbers or
// more that the readings do feel one at a time; a number they do not feel at all is told by itself.
std::vector<std::string> CannotTell(const FitPosterior& posterior, const FitModel& model);

}  // namespace lastreach
