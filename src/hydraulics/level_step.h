#pragma once

#include <span>
#include <vector>

#include "hydraulics/tank_levels.h"

namespace lastreach {

// Where in a step a tank's flow stands for the whole of it, as a share of the step: the flow at the level
// L + share dt Q/A. With x the times the level goes to rest within the step, as exp(-x),
//
//   share(x) = 1 / (1 - exp(-x)) - 1/x
//
// makes the step exact for such a tank: a half for x to 0, the implicit midpoint rule, and 1 for x to
// infinity, where that rule would swing to and fro for ever. SOURCE: exponential fitting (Liniger and
// Willoughby 1970, from memory).
double ShareOfStep(double x);

// Two sets of flows into the tanks of one step [m3/s].
struct StepFlows {
  std::span<const double> start_m3_per_s;  // size tanks: at its start
  std::span<const double> step_m3_per_s;   // size tanks: that stand for the step
};

// How fast each level goes to rest [1/s], as flows tell it that were found at those shares of the step; where
// they tell nothing `rest_per_s` stays as it was.
void UpdateRest(const StepFlows& flows, std::span<const double> shares, double seconds,
                std::span<double> rest_per_s);

// How far a step of `seconds` leaves any level off [m]: what a straight line sags halfway that should bend, a
// quarter of the way that both flows lead apart; but no more than a level makes that goes to rest.
double LevelError_m(std::span<const LevelTank> tanks, const StepFlows& flows, double seconds);

// The greatest way any level makes [m].
double GreatestMove_m(std::span<const LevelTank> tanks, std::span<const double> inflow_m3_per_s,
                      double seconds);

// How long until the first tank comes to a mark; infinity if none does.
double FirstMark_s(std::span<const LevelTank> tanks, std::span<const double> inflow_m3_per_s);

}  // namespace lastreach
