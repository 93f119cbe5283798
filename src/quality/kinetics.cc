#include "quality/kinetics.h"

#include <cmath>
#include <numbers>

namespace lastreach {
namespace {

double Viscosity_pa_s(Temperature water) {
  const double reduced = water.kelvin() / 300;
  return 1e-6 * (280.68 * std::pow(reduced, -1.9) + 511.45 * std::pow(reduced, -7.7) +
                 61.131 * std::pow(reduced, -19.6) + 0.45903 * std::pow(reduced, -40.0));
}

double Density_kg_per_m3(Temperature water) {
  const double t = water.celsius();
  const double from_densest = t - 3.983035;
  return 999.974950 * (1 - from_densest * from_densest * (t + 301.797) / (522528.9 * (t + 69.34881)));
}

}  // namespace

Kinetics KineticsAt(Temperature water) {
  return {.viscosity_m2_per_s = KinematicViscosity_m2_per_s(water),
          .diffusivity_m2_per_s = ChlorineDiffusivity_m2_per_s(water)};
}

double KinematicViscosity_m2_per_s(Temperature water) {
  return Viscosity_pa_s(water) / Density_kg_per_m3(water);
}

double ChlorineDiffusivity_m2_per_s(Temperature water) {
  constexpr double kAt20_m2_per_s = 1.21e-9;
  const Temperature reference = Temperature::Celsius(20);
  return kAt20_m2_per_s * (water.kelvin() / reference.kelvin()) *
         (Viscosity_pa_s(reference) / Viscosity_pa_s(water));
}

double RateFactor(double activation_k, Temperature water) {
  constexpr double kReference_k = 293.15;
  return std::exp(activation_k * (1 / kReference_k - 1 / water.kelvin()));
}

double SherwoodNumber(double reynolds, double schmidt, double diameter_over_length,
                      TurbulentTransfer turbulent) {
  if (reynolds < kLaminarReynolds) {
    const double x = diameter_over_length * reynolds * schmidt;
    const double root = std::cbrt(x);
    return 3.65 + 0.0668 * x / (1 + 0.04 * root * root);
  }
  if (turbulent == TurbulentTransfer::kRossman) {
    return 0.023 * std::pow(reynolds, 0.83) * std::pow(schmidt, 0.333);
  }
  return 0.0149 * std::pow(reynolds, 0.88) * std::cbrt(schmidt);
}

double FlowingWallRate_per_s(double length_m, double diameter_m, double flow_m3_per_s, double wall_m_per_s,
                             const Kinetics& kinetics) {
  if (wall_m_per_s == 0) return 0;
  const double reynolds = 4 * flow_m3_per_s / (std::numbers::pi * diameter_m * kinetics.viscosity_m2_per_s);
  const double schmidt = kinetics.viscosity_m2_per_s / kinetics.diffusivity_m2_per_s;
  const double sherwood = SherwoodNumber(reynolds, schmidt, diameter_m / length_m, kinetics.turbulent);
  const double film_m_per_s = sherwood * kinetics.diffusivity_m2_per_s / diameter_m;
  return 4 / diameter_m * wall_m_per_s * film_m_per_s / (wall_m_per_s + film_m_per_s);
}

}  // namespace lastreach
