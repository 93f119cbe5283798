#include "hydraulics/friction.h"

#include <cmath>
#include <numbers>

namespace lastreach {
namespace {

constexpr double kTwoOverLn10 = 2 / std::numbers::ln10;

// Newton on x = 1/sqrt(f): x + 2 log10(r/3.7 + 2.51 x/Re) = 0, which is convex and steep; from Haaland's
// explicit form, within 1.5 %, two steps reach rounding and the third confirms it.
FrictionAndSlope Colebrook(double reynolds, double relative_roughness) {
  const double rough = relative_roughness / 3.7;
  double x = -1.8 * std::log10(std::pow(rough, 1.11) + 6.9 / reynolds);
  double inside = 0;
  double by_x = 0;
  for (int i = 0; i < 8; ++i) {
    inside = rough + 2.51 * x / reynolds;
    by_x = 1 + kTwoOverLn10 * 2.51 / (reynolds * inside);
    const double step = (x + kTwoOverLn10 * std::log(inside)) / by_x;
    x -= step;
    if (std::abs(step) < 1e-13 * x) break;
  }
  const double by_reynolds = -kTwoOverLn10 * 2.51 * x / (reynolds * reynolds * inside);
  const double x_slope = -by_reynolds / by_x;
  return {1 / (x * x), -2 * x_slope / (x * x * x)};
}

}  // namespace

FrictionAndSlope DarcyFriction(double reynolds, double relative_roughness) {
  if (reynolds <= kLaminarReynolds) return {64 / reynolds, -64 / (reynolds * reynolds)};
  if (reynolds >= kTurbulentReynolds) return Colebrook(reynolds, relative_roughness);
  constexpr double kWidth = kTurbulentReynolds - kLaminarReynolds;
  const double low = 64 / kLaminarReynolds;
  const double low_slope = -low / kLaminarReynolds * kWidth;
  const FrictionAndSlope high = Colebrook(kTurbulentReynolds, relative_roughness);
  const double high_slope = high.slope_per_reynolds * kWidth;
  const double t = (reynolds - kLaminarReynolds) / kWidth;
  const double a = 2 * (low - high.factor) + low_slope + high_slope;
  const double b = 3 * (high.factor - low) - 2 * low_slope - high_slope;
  return {low + t * (low_slope + t * (b + t * a)), (low_slope + t * (2 * b + t * 3 * a)) / kWidth};
}

}  // namespace lastreach
