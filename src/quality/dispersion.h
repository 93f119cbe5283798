#pragma once

namespace lastreach {

// How fast the profile of the flow spreads dissolved matter along a pipe: the rate E [m2/s] of
//
//   dC/dt + U dC/dx = d/dx (E dC/dx),   C the mean over the width.
//
// In laminar flow E grows from nothing while diffusion over the width catches up, which in a main takes
// weeks: with T = D t / a^2 since the flow began to move, a the inner radius and D the molecular diffusivity,
//
//   limit       E = a^2 U^2 / (48 D)                               Taylor 1953, T well above 1/15
//   exact       E (1 - 3072 SUM mu_n^-6 exp(-mu_n^2 T))            mu_n the zeros of J1 above 0
//   Lee         E (1 - exp(-16 T))                                 same early slope, U^2 t / 3, and limit
//
// SOURCE: Taylor, Proc. R. Soc. A 219, 186-203, 1953; Aris, Proc. R. Soc. A 235, 67-77, 1956 (+ D); Lee, Mass
// dispersion in intermittent laminar flow, PhD thesis, Univ. of Cincinnati, 2004 (form from memory). The sum
// is derived in docs/theory/reactions-and-dispersion.md.
//
// REQUIRES, for all: radius, diffusivity > 0; velocity, time >= 0.

// E that is reached at last, with D itself added (Aris).
double TaylorArisDispersion_m2_per_s(double radius_m, double velocity_m_per_s, double diffusivity_m2_per_s);

// The share of Taylor's limit reached at `fourier` = D t / a^2, and its mean since the start.
// ERROR: the sums within 1e-7 of their value. Lee's lies above them by up to 2.2 % of the limit, near T =
// 0.1.
double LeeShareOfLimit(double fourier);
double LeeMeanShareOfLimit(double fourier);
double ExactShareOfLimit(double fourier);
double ExactMeanShareOfLimit(double fourier);

// Lee's form for flow that changes: E = U m, m [m] how far the profile has sheared the water,
//
//   dm/dt = U / 3 - 16 D m / a^2,
//
// given m at the start of `seconds` of one velocity. From rest in one flow U m is Lee's E; in a pause what
// was sheared is slowly forgotten.
double ShearedLength_m(double sheared_m, double radius_m, double velocity_m_per_s,
                       double diffusivity_m2_per_s, double seconds);

// Turbulent: E = 10.1 a u*, u* = U sqrt(f / 8), f the friction factor (Darcy). Holds well above Re 20,000; at
// 4,000 to 20,000 the true rate is larger, up to several times. SOURCE: Taylor, Proc. R. Soc. A 223, 446-468,
// 1954 (from memory).
double TurbulentDispersion_m2_per_s(double radius_m, double velocity_m_per_s, double friction_factor);

// Friction factor of a smooth pipe, 0.3164 Re^-0.25: within 2 % from Re 4,000 to 100,000, which is what mains
// at the ends see. SOURCE: Blasius 1913 (from memory). REQUIRES: reynolds > 0.
double SmoothFrictionFactor(double reynolds);

}  // namespace lastreach
