#pragma once

#include <bit>
#include <cstdint>

namespace lastreach {

// Compiled a second time for processors with wide registers, chosen at start. No fused multiply-add, so the
// digits are the same everywhere. Not under the sanitizers, which cannot follow the choice.
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(__SANITIZE_ADDRESS__)
#define LASTREACH_WIDE __attribute__((target_clones("avx2", "default")))
#else
#define LASTREACH_WIDE
#endif

// x^Exponent without a branch or a call, so that a loop over it is done several numbers at a time.
//
//   x = 2^e m, m in [sqrt(1/2), sqrt(2)];  log2 m = 2/ln 2 atanh((m - 1)/(m + 1)), nine terms;
//   2^y = 2^n 2^f, n the whole number nearest to y;  2^f twelve terms of the exponential series
//
// ERROR: relative, below 1e-13 for x from 1e-60 to 1e60; 300 times that range still gives 12 digits.
// REQUIRES: x is a normal number above 0; |Exponent| < 1.
template <double Exponent>
[[gnu::always_inline]] inline double PowerOf(double x) {
  constexpr uint64_t kMantissa = 0x000fffffffffffff;
  constexpr uint64_t kOne = 0x3ff0000000000000;
  constexpr uint64_t kTwoTo52 = 0x4330000000000000;
  constexpr double kTwoOverLn2 = 2.885390081777926814719849362;
  constexpr double kLn2 = 0.693147180559945309417232121;
  constexpr uint64_t kOverRoot2 = 0x00095f619980c433;  // 2^52 less the mantissa of the root of 2
  const auto bits = std::bit_cast<uint64_t>(x);
  // The exponent as a number: put behind the leading one of 2^52, which is then taken off.
  double e = std::bit_cast<double>((bits >> 52) | kTwoTo52) - (4503599627370496.0 + 1023);
  double m = std::bit_cast<double>((bits & kMantissa) | kOne);
  // Whether m is over the root of 2, by its bits: one more there carries into the exponent.
  const double upper =
      std::bit_cast<double>((((bits & kMantissa) + kOverRoot2) >> 52) | kTwoTo52) - 4503599627370496.0;
  m *= 1 - 0.5 * upper;
  e += upper;
  const double s = (m - 1) / (m + 1);
  const double t = s * s;
  double series = 1.0 / 17;
  series = series * t + 1.0 / 15;
  series = series * t + 1.0 / 13;
  series = series * t + 1.0 / 11;
  series = series * t + 1.0 / 9;
  series = series * t + 1.0 / 7;
  series = series * t + 1.0 / 5;
  series = series * t + 1.0 / 3;
  series = series * t + 1.0;
  const double y = Exponent * (e + kTwoOverLn2 * s * series);
  constexpr double kRounder = 6755399441055744.0;  // 1.5 * 2^52: adding it leaves no room for a fraction
  const double rounded = y + kRounder;
  const double f = kLn2 * (y - (rounded - kRounder));
  double power = 1.0 / 479001600;
  power = power * f + 1.0 / 39916800;
  power = power * f + 1.0 / 3628800;
  power = power * f + 1.0 / 362880;
  power = power * f + 1.0 / 40320;
  power = power * f + 1.0 / 5040;
  power = power * f + 1.0 / 720;
  power = power * f + 1.0 / 120;
  power = power * f + 1.0 / 24;
  power = power * f + 1.0 / 6;
  power = power * f + 0.5;
  power = power * f + 1;
  power = power * f + 1;
  return power * std::bit_cast<double>((std::bit_cast<uint64_t>(rounded) << 52) + kOne);
}

}  // namespace lastreach
