#pragma once

#include <vector>

#include "calendar/runs.h"
#include "network/network.h"

namespace lastreach {

// From one moment to another [h].
double HoursBetween(Instant from, Instant to);

// Puts what of the runs falls into `hours` from `begins` on into the network, drawn at one of its nodes. A
// run over either end is cut there.
void AddRuns(const std::vector<Run>& runs, NodeIndex node, double flow_m3_per_s, Instant begins, double hours,
             Network& network);

}  // namespace lastreach
