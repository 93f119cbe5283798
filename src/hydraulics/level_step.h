#pragma once

#include <span>
#include <vector>

#include "hydraulics/tank_levels.h"

namespace lastreach {

// Two sets of flows into the tanks of one step: at its start and at the levels in its middle [m3/s].
struct StepFlows {
  std::span<const double> start_m3_per_s;   // size tanks
  std::span<const double> middle_m3_per_s;  // size tanks
};

// The error that a midpoint step of `seconds` adds to any level, as its flows tell it [m]. Where a level goes
// to rest as exp(-k t), x = k times the step is twice what the flow has lost by the middle; Euler's rule is
// off by x/2 of the way made, the midpoint rule by x^2/6: a third of the difference of the two, times x. That
// factor x is held between 0.3 and 1, for tanks that pull at each other.
double LevelError_m(std::span<const LevelTank> tanks, const StepFlows& flows, double seconds);

// The greatest way any level makes [m].
double GreatestMove_m(std::span<const LevelTank> tanks, std::span<const double> inflow_m3_per_s,
                      double seconds);

// How long until the first tank comes to a mark; infinity if none does.
double FirstMark_s(std::span<const LevelTank> tanks, std::span<const double> inflow_m3_per_s);

}  // namespace lastreach
