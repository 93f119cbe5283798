#pragma once

#include <optional>
#include <span>

#include "quality/branch.h"
#include "quality/kinetics.h"

namespace lastreach {

// How little water the end of a branch can be held with, by any schedule whatever. In all of these
// `log_budget` is ln(highest residual that ever enters / target): water at the end may have lost no more, at
// any time. Where it is 0 or less no flow holds the target, and there is no answer. REQUIRES, for all:
// CheckBranch(branch) holds.

// The least constant flow of the device that holds the target at the end while every tap draws its average:
// the F at which
//
//   SUM_j k_j V_j / (F + D_j) = log_budget,   k_j = bulk_per_s + wall rate at the flow F + D_j            (1)
//
// 0 if the taps' own draw holds it. This is a schedule one could run, not a bound.
// ERROR: within 1e-12 of the value.
// COST: without walls some Newton steps, each nearer from below; with walls a bisection.
std::optional<double> SteadyBleed_m3_per_s(const Branch& branch, double log_budget,
                                           const Kinetics& kinetics = {});

// The same for one loss rate and demand drawn evenly along all of the branch:
//   F = q / (exp(q T / V) - 1),  T = log_budget / k.   For q = 0 this is V / T.                           (2)
double UniformBleed_m3_per_s(double volume_m3, double demand_m3_per_s, double time_budget_s);

// The least slug let out at once every `period_s` that keeps the age at the end within `time_budget_s`, for
// demand drawn evenly along the branch. With n = floor(T / P) and x = q P / V:
//   S = V exp(-q (T - n P) / V) (e^x - 1) / (e^(n x) - 1)                                                 (3)
// REQUIRES: period_s <= time_budget_s (the end cannot stand longer than the budget).
double UniformSlug_m3(double volume_m3, double demand_m3_per_s, double time_budget_s, double period_s);

// Floors for the mean flow of the device over a long time.
struct EndFlowFloor {
  // PROVEN: no schedule whatever holds the end with a lower mean.
  double proven_m3_per_s = 0;
  // VERIFIED: equation (1) with the least loss of each segment. Only for steady demand: no schedule was ever
  // found below it, but there is no proof where taps are few or sparser toward the end. None if demand
  // varies.
  std::optional<double> verified_m3_per_s;
  // The two agree (to 1e-9): all draw is at the end, or there is none, and all segments lose alike.
  bool is_exact = false;
};

// The floor for demand that repeats for ever: `demand_factor[i]` over [time_s[i], time_s[i + 1]), then again
// from the start. `bulk_factor` likewise, or empty. None if log_budget <= 0.
//
// What is proven, and how (docs/theory/transport.md has the steps):
// - each segment is given the least loss any flow can leave it with, and all the least of those;
// - draw D(y) at and beyond the place y m3 from the end is replaced by its least concave majorant, which only
// helps;
// - steady demand: for concave D the constant bleed is best (comparison theorem and Jensen), so the floor is
// the F of
//   INT_0^V dy / (F + D(y)) = T;
// - varying demand: D is replaced by a straight line a + b y above it. Water that must reach the end within T
// of
//   entering at u obeys INT_u^(u+T) (F + f a) e^(b (B(s) - B(u))) ds >= V, B = INT f. Any weights w_k >= 0 on
//   such demands for a cycle's worth of u give mean F >= SUM w_k (V - own draw's part) / (cycle max of their
//   sum). The best weights are a linear programme; the floor is worked out from them, so that it is proven
//   whatever the solver did. The mean demand is not used, nor is
//   it a bound: a schedule that leans to the night can beat the bleed worked out from the mean.
// ERROR: for varying demand within 0.5 % below what demands for every moment of entry would give (observed);
// so many entry times are told apart. COST: microseconds if steady; some milliseconds for each edge of the
// majorant if not. REQUIRES: time_s ascending, size demand_factor.size() + 1; factors >= 0; bulk_factor empty
// or of the same size.
std::optional<EndFlowFloor> FloorOfEndFlow(const Branch& branch, double log_budget,
                                           std::span<const double> time_s,
                                           std::span<const double> demand_factor,
                                           std::span<const double> bulk_factor = {},
                                           const Kinetics& kinetics = {});

// The least wall rate any flow, or stillness however long, can leave a segment with [1/s]: the smaller of
// that of the slowest laminar film and that of the last mode of standing water.
double LeastWallRate_per_s(const BranchSegment& segment, const Kinetics& kinetics = {});

}  // namespace lastreach
