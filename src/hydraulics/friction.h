#pragma once

namespace lastreach {

struct FrictionAndSlope {
  double factor = 0;              // f [-]
  double slope_per_reynolds = 0;  // df/dRe [-]
};

// Darcy friction factor of a full circular pipe [-] and its slope.
//
//   laminar,   Re <= 2000:  f = 64 / Re                                       (Hagen-Poiseuille)
//   turbulent, Re >= 4000:  1/sqrt(f) = -2 log10(r/3.7 + 2.51/(Re sqrt(f)))   (Colebrook 1939)
//
// with Re the Reynolds number and r the height of the roughness over the inner diameter. Between the two a
// cubic in Re joins value and slope; that stretch is interpolation, not physics.
// ERROR: turbulent f satisfies Colebrook's equation to a residual of 1e-12. COST: 3 to 5 logarithms.
// REQUIRES: reynolds > 0, relative_roughness >= 0.
FrictionAndSlope DarcyFriction(double reynolds, double relative_roughness);

// Up to here the flow is laminar.
inline constexpr double kLaminarReynolds = 2000;
inline constexpr double kTurbulentReynolds = 4000;

}  // namespace lastreach
