#pragma once

#include "core/quantity.h"

namespace lastreach {

// How fast the disinfectant is lost, first order in the residual C:
//
//   flowing:   dC/dt = -(k + K_w) C,   K_w = (4 / d) k_w k_f / (k_w + k_f),   k_f = Sh D_m / d
//   standing:  dC/dt = -k C and diffusion to the wall, see still_water.h
//
// with k the loss in the bulk of the water [1/s], k_w that at the wall [m/s], k_f what the moving film lets
// through [m/s], D_m the molecular diffusivity of the disinfectant [m2/s] and d the inner diameter [m].
// SOURCE: Rossman, Clark & Grayman, J. Environ. Eng. 120(4), 803-820, 1994 (from memory).

// Which formula carries the disinfectant to the wall in turbulent flow. Both are in use and lie within about
// 5 % of each other at Re 10^4 to 10^5 and the Schmidt number of chlorine.
enum class TurbulentTransfer {
  kNotterSleicher,  // Sh = 0.0149 Re^0.88 Sc^(1/3)   (Notter & Sleicher, Chem. Eng. Sci. 26, 161-171, 1971)
  kRossman,         // Sh = 0.023 Re^0.83 Sc^0.333    (Rossman, Clark & Grayman 1994)
};

// The water the wall formulas work in. Defaults are those of 20 C; see KineticsAt for others.
struct Kinetics {
  double viscosity_m2_per_s = 1.0034e-6;  // kinematic
  double diffusivity_m2_per_s = 1.21e-9;  // of the disinfectant in water
  TurbulentTransfer turbulent = TurbulentTransfer::kNotterSleicher;

  friend bool operator==(const Kinetics&, const Kinetics&) = default;
};

// Below this Reynolds number the flow is taken as laminar. SOURCE: Rossman, Clark & Grayman 1994 (from
// memory).
inline constexpr double kLaminarReynolds = 2300;

// Viscosity and diffusivity at one temperature.
Kinetics KineticsAt(Temperature water);

// Kinematic viscosity of water at 1 atm [m2/s].
// ERROR: within 0.01 % of IAPWS-95 and R12-08 from 0 to 40 C. REQUIRES: 0 to 100 C.
// SOURCE: IAPWS SR6-08 (viscosity) over Tanaka et al. 2001 (density); constants from memory, checked in the
// test.
double KinematicViscosity_m2_per_s(Temperature water);

// Diffusivity of free chlorine in water [m2/s]: 1.21e-9 at 20 C (Rossman, Clark & Grayman 1994, from memory),
// carried to other temperatures by Stokes and Einstein, D T0 mu = D0 T mu0. Published values at 20 C spread
// by 25 %; a wall that is limited by transport feels two thirds of that in turbulent flow and all of it when
// laminar.
double ChlorineDiffusivity_m2_per_s(Temperature water);

// Arrhenius: k(T) / k(20 C) = exp[(E/R) (1/293.15 - 1/T)], with `activation_k` = E/R [K], commonly 6,000 to
// 9,000 for loss in the bulk (Powell et al. 2000; from memory).
double RateFactor(double activation_k, Temperature water);

// Sherwood number of pipe flow [-]: the laminar form 3.65 + 0.0668 X / (1 + 0.04 X^(2/3)), X = (d/L) Re Sc,
// below kLaminarReynolds, else `turbulent`. SOURCE: Rossman, Clark & Grayman 1994 (from memory). REQUIRES:
// reynolds >= 0, schmidt > 0, diameter_over_length > 0.
double SherwoodNumber(double reynolds, double schmidt, double diameter_over_length,
                      TurbulentTransfer turbulent);

// K_w of a flowing pipe [1/s], 0 where wall_m_per_s is 0.
// REQUIRES: length_m > 0, diameter_m > 0, flow_m3_per_s > 0, wall_m_per_s >= 0.
double FlowingWallRate_per_s(double length_m, double diameter_m, double flow_m3_per_s, double wall_m_per_s,
                             const Kinetics& kinetics);

}  // namespace lastreach
