#pragma once

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

inline double LogLinearMean(double first_ln, double last_ln) {
  return std::exp((first_ln + last_ln) / 2) * SinhRatio((last_ln - first_ln) / 2);
}

}  // namespace lastreach
