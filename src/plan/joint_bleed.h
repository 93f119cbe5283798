#pragma once

#include <optional>
#include <vector>

#include "plan/tree_shape.h"

namespace lastreach {

// The least constant flows at the ends of a tree that hold the target at every end while all taps draw their
// average: of all F >= 0 with
//
//   SUM over the stretches j on the way to e of  k_j V_j / (D_j + SUM of F below j)  <=  log_budget_e   for
//   all e
//
// the ones with the least sum. Reciprocals of sums are convex, so there is one least value. For one end this
// is SteadyBleed_m3_per_s. It is a schedule one could run, not a bound on schedules.
struct JointBleed {
  std::vector<double> flow_m3_per_s;  // of each end
  double total_m3_per_s = 0;
  // No constant flows need less in all: weak duality with the multipliers found, worked out apart from the
  // solver, so that it holds however well that converged.
  double certified_m3_per_s = 0;
};

// None where a budget is 0 or less. ERROR: total within 1e-8 of the certified value, relative to the flows
// that the ends would need alone. COST: some hundred Newton steps in as many unknowns as ends; about a
// millisecond. REQUIRES: volumes above 0, losses 0 or more.
std::optional<JointBleed> SolveJointBleed(const TreeShape& shape);

}  // namespace lastreach
