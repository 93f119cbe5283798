#pragma once

#include <algorithm>
#include <cmath>

namespace lastreach {

// A concentration whose logarithm is straight: exp(mid + half x), x from -1 to 1.

// Its mean over exp(mid): sinh(half) / half. ERROR: 2e-16.
inline double SinhRatio(double half) {
  const double square = half * half;
  if (square < 0.0625) {
    return 1 + square * (1.0 / 6 +
                         square * (1.0 / 120 + square * (1.0 / 5040 + square * (1.0 / 362880 +
                                                                                square * (1.0 / 39916800)))));
  }
  return std::sinh(half) / half;
}

// exp, without a call where the argument is small. ERROR: 3e-16.
inline double NearExp(double x) {
  if (std::abs(x) > 0.015625) return std::exp(x);
  return 1 + x * (1 + x * (1.0 / 2 + x * (1.0 / 6 + x * (1.0 / 24 + x * (1.0 / 120 + x * (1.0 / 720))))));
}

// log1p, likewise. ERROR: 1e-16 absolute.
inline double NearLog1p(double x) {
  if (std::abs(x) > 0.00390625) return std::log1p(x);
  return x * (1 - x * (1.0 / 2 - x * (1.0 / 3 - x * (1.0 / 4 - x * (1.0 / 5 - x * (1.0 / 6))))));
}

// ln of SinhRatio, for any argument. ERROR: 2e-16 of the argument, or of 1.
inline double LnSinhRatio(double half) {
  constexpr double kSteep = 20;  // exp(-2 x) is lost beside 1
  const double x = std::abs(half);
  return x < kSteep ? std::log(SinhRatio(x)) : x - std::log(2 * x);
}

// ln(exp(a) + exp(b)), where either may be more or less than a number can tell.
inline double LnOfSum(double a, double b) { return std::max(a, b) + std::log1p(std::exp(-std::abs(a - b))); }

// The mean of exp(mid + half x), however steep.
inline double MeanOfExp(double mid, double half) {
  constexpr double kSteep = 20;
  const double x = std::abs(half);
  return x < kSteep ? std::exp(mid) * SinhRatio(half) : std::exp(mid + x) / (2 * x);
}

inline double LogLinearMean(double first_ln, double last_ln) {
  return MeanOfExp((first_ln + last_ln) / 2, (last_ln - first_ln) / 2);
}

struct LogLine {
  double mean = 0, half = 0;
};

// The mean of the line of ln c that rises by twice `half` and holds what `tail`, over a share `f` of the
// water, and `fresh` hold together.
inline double MeanOfJoint(double f, const LogLine& tail, const LogLine& fresh, double half) {
  const double g = 1 - f;
  const double apart = std::abs(tail.mean - fresh.mean) + std::abs(tail.half) + std::abs(fresh.half);
  if (apart < 2) {
    const double mean = f * tail.mean + g * fresh.mean;
    const double held = f * NearExp(tail.mean - mean) * SinhRatio(tail.half) +
                        g * NearExp(fresh.mean - mean) * SinhRatio(fresh.half);
    const double line = SinhRatio(half);
    return mean + NearLog1p((held - line) / line);
  }
  return LnOfSum(std::log(f) + tail.mean + LnSinhRatio(tail.half),
                 std::log(g) + fresh.mean + LnSinhRatio(fresh.half)) -
         LnSinhRatio(half);
}

}  // namespace lastreach
