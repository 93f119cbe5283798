#pragma once

#include <array>
#include <optional>
#include <vector>

#include "calendar/runs.h"
#include "core/result.h"
#include "hydraulics/flow_simulation_summary.h"
#include "together/planning_network.h"

namespace lastreach {

// The fortnight of a season in which the network is judged: the one in which the first month with an odd
// number of days ends, so that odd and even dates show their worst; else the season's first.
DateWindow FortnightToJudge(DateWindow season);

// The days of that fortnight in which all that these devices do is seen: one where every day is alike and
// there are no tanks, a week where all comes round with it, else the fortnight.
DateWindow DaysToJudge(const Network& network, const std::vector<DeviceDuty>& duties, DateWindow season);

// Of the residual at one place at the turns of hours from hour 0, a local midnight, on: what NetworkFinding
// tells of a root. Water never fed, NaN, has none.
std::array<double, 24> LowestByHour(const std::vector<double>& mg_per_l, const std::vector<double>& times_h);

// Flows, pressures and residual of the whole network through a fortnight while its devices do their duty, at
// middle values, clocks as they were found. Before it the week before, over and over, until the start no
// longer shows.
//
// `duties`: as `network.placed`; one without programmes or switched off draws nothing.
// ERROR: what hydraulics and transport give; kInternal for sizes that differ.
// COST: some tens of nanoseconds a link, hour and quantity: 6,000 links in about 2 s.
Result<NetworkJudgement> JudgeOnNetwork(const PlanningNetwork& network, const std::vector<DeviceDuty>& duties,
                                        const Zone& zone, DateWindow season);

// The same pressure alone, over DaysToJudge, every opening and shutting to the minute; none where nothing is
// drawn. ERROR: what FlowSimulation gives. COST: a steady state for every change that was not met before.
Result<std::optional<FlowSimulationSummary::LowPressure>> LowestPressureOn(
    const PlanningNetwork& network, const std::vector<DeviceDuty>& duties, const Zone& zone,
    DateWindow season);

}  // namespace lastreach
