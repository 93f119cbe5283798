#include "quality/dispersion.h"

#include <array>
#include <cmath>
#include <numbers>

namespace lastreach {
namespace {

// What is left out after so many modes is below 0.7 / n^3 of the sum: 1e-8.
constexpr std::size_t kModes = 400;

using SquaredZeros = std::array<double, kModes>;

// mu_n^2 of the zeros of J1: McMahon's expansion for a start, then Newton with J1' = J0 - J1 / x.
SquaredZeros FindSquaredZeros() {
  SquaredZeros squares{};
  for (std::size_t n = 0; n < kModes; ++n) {
    const double b = (static_cast<double>(n) + 1.25) * std::numbers::pi;
    double x = b - 3 / (8 * b);
    for (int i = 0; i < 4; ++i) {
      const double j1 = std::cyl_bessel_j(1, x);
      x -= j1 / (std::cyl_bessel_j(0, x) - j1 / x);
    }
    squares[n] = x * x;
  }
  return squares;
}

const SquaredZeros& ZerosOfJ1() {
  static const SquaredZeros zeros = FindSquaredZeros();
  return zeros;
}

constexpr double kLeeRate = 16;
constexpr double kModeWeight = 3072;

}  // namespace

double TaylorArisDispersion_m2_per_s(double radius_m, double velocity_m_per_s, double diffusivity_m2_per_s) {
  return radius_m * radius_m * velocity_m_per_s * velocity_m_per_s / (48 * diffusivity_m2_per_s) +
         diffusivity_m2_per_s;
}

double LeeShareOfLimit(double fourier) { return -std::expm1(-kLeeRate * fourier); }

double LeeMeanShareOfLimit(double fourier) {
  const double x = kLeeRate * fourier;
  // Below this the difference would lose digits that the series keeps.
  if (x < 1e-3) return x / 2 * (1 - x / 3 * (1 - x / 4));
  return 1 + std::expm1(-x) / x;
}

double ExactShareOfLimit(double fourier) {
  // 1 = 3072 SUM mu^-6, taken together with the rest, so that short times lose no digits.
  double sum = 0;
  for (const double square : ZerosOfJ1()) sum -= std::expm1(-square * fourier) / (square * square * square);
  return kModeWeight * sum;
}

double ExactMeanShareOfLimit(double fourier) {
  if (fourier == 0) return 0;
  double sum = 0;
  for (const double square : ZerosOfJ1()) {
    const double x = square * fourier;
    const double mean = x < 1e-3 ? x / 2 * (1 - x / 3 * (1 - x / 4)) : 1 + std::expm1(-x) / x;
    sum += mean / (square * square * square);
  }
  return kModeWeight * sum;
}

double ShearedLength_m(double sheared_m, double radius_m, double velocity_m_per_s,
                       double diffusivity_m2_per_s, double seconds) {
  const double forgotten_per_s = kLeeRate * diffusivity_m2_per_s / (radius_m * radius_m);
  const double limit_m = velocity_m_per_s / (3 * forgotten_per_s);
  return sheared_m - (limit_m - sheared_m) * std::expm1(-forgotten_per_s * seconds);
}

double TurbulentDispersion_m2_per_s(double radius_m, double velocity_m_per_s, double friction_factor) {
  return 10.1 * radius_m * velocity_m_per_s * std::sqrt(friction_factor / 8);
}

double SmoothFrictionFactor(double reynolds) { return 0.3164 * std::pow(reynolds, -0.25); }

}  // namespace lastreach
