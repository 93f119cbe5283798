#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "core/result.h"
#include "hydraulics/supply.h"
#include "network/network.h"

namespace lastreach {

// The network as it stands at each hour of a day or a week, with no device open, and as little to give as it
// may have then.
struct PressureMoments {
  Network network;                        // without runs
  std::vector<Supply> states;             // those that differ
  std::vector<uint32_t> state_of_moment;  // size 24, or 168 where a pattern's days differ; moment 0 is
                                          // Monday's (or any day's) hour from 0:00 to 1:00
  std::vector<std::string> assumed;       // in words

  size_t MomentOf(int minute_of_week) const {
    return static_cast<size_t>(minute_of_week / 60) % state_of_moment.size();
  }
};

// Demands are those of each hour. A pattern that repeats neither daily nor weekly is held at its greatest
// factor for customers and its least for sources, and said. Tanks stand at the lowest level they have at that
// hour in a simulated week after a day to settle, and what rules had shut in that hour stays shut in it.
// ERROR: as SupplyAt and FlowSimulation. COST: where tanks have levels, eight days of flows.
Result<PressureMoments> MomentsOf(const Network& network);

}  // namespace lastreach
