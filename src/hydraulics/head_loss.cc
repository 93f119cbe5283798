#include "hydraulics/head_loss.h"

#include <cmath>
#include <numbers>

#include "core/quantity.h"
#include "hydraulics/friction.h"

namespace lastreach {
namespace {

constexpr double kPi = std::numbers::pi;
constexpr double kExponent = 1.852;
constexpr double kSmoothingCost_m = 1e-8;
// The largest value of x (x^2 + 1)^0.426 - x^1.852 is just below this, near x = 1.8.
constexpr double kWorstRounding = 0.37;

LossAndSlope HazenWilliams(const PipeLoss& pipe, double flow) {
  const double square = flow * flow + pipe.smooth_m3_per_s * pipe.smooth_m3_per_s;
  if (square == 0) return {};
  const double power = pipe.friction * std::pow(square, (kExponent - 1) / 2);
  return {power * flow, power * (1 + (kExponent - 1) * flow * flow / square)};
}

LossAndSlope DarcyWeisbach(const PipeLoss& pipe, double flow) {
  const double size = std::abs(flow);
  const double reynolds = pipe.reynolds_s_per_m3 * size;
  if (reynolds <= kLaminarReynolds) return {pipe.laminar_s_per_m2 * flow, pipe.laminar_s_per_m2};
  const FrictionAndSlope f = DarcyFriction(reynolds, pipe.relative_roughness);
  return {pipe.friction * f.factor * size * flow,
          pipe.friction * size * (2 * f.factor + f.slope_per_reynolds * reynolds)};
}

}  // namespace

double MinorCoefficient(double minor_loss, double inner_diameter_m) {
  if (minor_loss == 0) return 0;
  return 8 * minor_loss / (kPi * kPi * kStandardGravity_m_per_s2 * std::pow(inner_diameter_m, 4));
}

PipeLoss PipeLossOf(const PipeSize& size, const NetworkOptions& options) {
  PipeLoss pipe;
  pipe.kind = options.head_loss;
  pipe.minor_s2_per_m5 = MinorCoefficient(size.minor_loss, size.inner_diameter_m);
  if (size.length_m == 0) {
    pipe.least_slope_s_per_m2 = kLeastSlope_s_per_m2;
    return pipe;
  }
  const double diameter_m = size.inner_diameter_m;
  if (pipe.kind == HeadLoss::kHazenWilliams) {
    pipe.friction = options.hazen_williams_constant * size.length_m /
                    (std::pow(size.roughness, kExponent) * std::pow(diameter_m, 4.871));
    pipe.smooth_m3_per_s = std::pow(kSmoothingCost_m / (kWorstRounding * pipe.friction), 1 / kExponent);
    return pipe;
  }
  const double nu = options.viscosity_m2_per_s;
  pipe.friction = 8 * size.length_m / (kPi * kPi * kStandardGravity_m_per_s2 * std::pow(diameter_m, 5));
  pipe.reynolds_s_per_m3 = 4 / (kPi * diameter_m * nu);
  pipe.relative_roughness = size.roughness / diameter_m;
  pipe.laminar_s_per_m2 = pipe.friction * 64 / pipe.reynolds_s_per_m3;
  return pipe;
}

LossAndSlope LossOf(const PipeLoss& pipe, double flow) {
  LossAndSlope loss;
  if (pipe.friction > 0) {
    loss = pipe.kind == HeadLoss::kHazenWilliams ? HazenWilliams(pipe, flow) : DarcyWeisbach(pipe, flow);
  }
  const double minor = pipe.minor_s2_per_m5 * std::abs(flow);
  loss.head_m += (minor + pipe.least_slope_s_per_m2) * flow;
  loss.slope_s_per_m2 += 2 * minor + pipe.least_slope_s_per_m2;
  return loss;
}

}  // namespace lastreach
