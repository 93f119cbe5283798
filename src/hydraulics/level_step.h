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

// How far a midpoint step of `seconds` may leave any level off, as its flows tell it [m]. With D the way that
// the flows of start and middle lead apart, a straight line that should bend sags by D/4 halfway; and where a
// level goes to rest as exp(-k t), the end is off by x/3 of D, x = k times the step being twice the share of
// the flow that is lost by the middle. The greater of both.
double LevelError_m(std::span<const LevelTank> tanks, const StepFlows& flows, double seconds);

// The greatest way any level makes [m].
double GreatestMove_m(std::span<const LevelTank> tanks, std::span<const double> inflow_m3_per_s,
                      double seconds);

// How long until the first tank comes to a mark; infinity if none does.
double FirstMark_s(std::span<const LevelTank> tanks, std::span<const double> inflow_m3_per_s);

}  // namespace lastreach
