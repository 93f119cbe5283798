#pragma once

#include <vector>

#include "calendar/runs.h"
#include "core/result.h"
#include "together/planning_network.h"

namespace lastreach {

// The fortnight of a season in which the network is judged: the one in which the first month with an odd
// number of days ends, so that odd and even dates show their worst; else the season's first.
DateWindow FortnightToJudge(DateWindow season);

// Flows, pressures and residual of the whole network through a fortnight while its devices do their duty, at
// middle values, clocks as they were found. Before it the week before, over and over, until the start no
// longer shows.
//
// `duties`: as `network.placed`; one without programmes or switched off draws nothing.
// ERROR: what hydraulics and transport give; kInternal for sizes that differ.
// COST: some tens of nanoseconds a link, hour and quantity: 6,000 links in about 2 s.
Result<NetworkJudgement> JudgeOnNetwork(const PlanningNetwork& network, const std::vector<DeviceDuty>& duties,
                                        const Zone& zone, DateWindow season);

}  // namespace lastreach
