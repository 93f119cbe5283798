#pragma once

#include <span>

#include "core/quantity.h"
#include "core/result.h"

namespace lastreach {

// Chlorine C that two kinds of matter in the water use up side by side, one fast (F), one slow (S), both
// second order, and loss at the wall; trihalomethanes (THM) form in proportion to what the bulk uses up:
//
//   dC/dt = -(k_F F + k_S S) C - K_w C,   dF/dt = -k_F C F,   dS/dt = -k_S C S,
//   dTHM/dt = y (k_F F + k_S S) C
//
// F and S are counted as the chlorine they use up [mg/L]. One set of constants serves several doses and water
// that is dosed anew, which first-order loss cannot. With S = 0 and K_w = 0 this is the model of Clark, J.
// Environ. Eng. 124(1), 16-24, 1998. SOURCE: Kastl, Fisher & Jegatheesan, J. Water SRT Aqua 48(6), 1999 (from
// memory); THM by chlorine used up: Clark & Sivaganesan, J. Environ. Eng. 124(12), 1998.

struct TwoReactantLaw {
  double fast_l_per_mg_per_s = 0;  // k_F
  double slow_l_per_mg_per_s = 0;  // k_S
  double thm_ug_per_mg = 0;        // y: THM formed by a milligram of chlorine used up in the bulk

  friend bool operator==(const TwoReactantLaw&, const TwoReactantLaw&) = default;
};

// Water on its way. Streams that meet mix each quantity by their flows.
struct ReactingWater {
  double chlorine_mg_per_l = 0;
  double fast_mg_per_l = 0;
  double slow_mg_per_l = 0;
  double thm_ug_per_l = 0;

  friend bool operator==(const ReactingWater&, const ReactingWater&) = default;
};

// ERROR: kBadInput naming what is below 0 or not finite.
Status CheckTwoReactants(const TwoReactantLaw& law, const ReactingWater& water);

// The law at another temperature than 20 C, each rate by its own E/R [K] (RateFactor in kinetics.h).
TwoReactantLaw LawAt(const TwoReactantLaw& at_20_c, double fast_activation_k, double slow_activation_k,
                     Temperature water);

// The same water `seconds` later, with `wall_per_s` = K_w all the while (or any other loss of first order).
//
// ERROR: below 1e-9, for C of what is left however little that is, for F, S and THM of what there was or
// could be; below 1e-10 in all cases tried. Nothing is below 0, C, F and S never rise, THM never falls. What
// the bulk uses up is F0 - F + S0 - S exactly, so without a wall chlorine is conserved against them.
//
// COST: 0.1 microseconds for a short stay, 0.4 at k_F C t = 1, 1.2 where the fast reactant is used up on the
// way and 5 for a week beside the slow one; less without a wall and with one reactant, in closed form.
//
// REQUIRES: CheckTwoReactants holds, seconds >= 0, wall_per_s >= 0.
//
// Method: x = INT C dt makes F = F0 exp(-k_F x) and S = S0 exp(-k_S x); what is left are x' = C and
// (ln C)' = -(k_F F + k_S S + K_w), summed as Taylor series whose terms follow from each other by products,
// in steps as long as the series bears.
ReactingWater React(const TwoReactantLaw& law, const ReactingWater& water, double wall_per_s, double seconds);

// One reactant, no wall, in closed form: C = C0 (1 - R) / (1 - R exp(-u t)), R = B0 / C0, u = k (C0 - B0); at
// R = 1 its limit, C0 / (1 + k C0 t). SOURCE: Clark 1998 (from memory). REQUIRES: all >= 0.
double ChlorineBesideOneReactant(double chlorine_mg_per_l, double reactant_mg_per_l,
                                 double rate_l_per_mg_per_s, double seconds);

// Streams that meet. REQUIRES: same sizes; flows >= 0 and their sum above 0.
ReactingWater MixStreams(std::span<const ReactingWater> streams, std::span<const double> flows_m3_per_s);

}  // namespace lastreach
