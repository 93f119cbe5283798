#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/device_facts.h"
#include "app/map_source.h"
#include "app/project_simulation.h"
#include "plan/network_view.h"
#include "together/network_plan.h"
#include "together/planning_network.h"

namespace lastreach {

// A project's network made ready for planning, with what was taken for its numbers.
struct PreparedPlanning {
  PlanningNetwork network;
  std::vector<std::string> names;  // of nodes, as people say them: a street, or the id
  std::vector<NumberUsed> numbers;
  std::vector<std::string> notes;  // devices that stand at no end, and why that matters
};

// Places each device at the end it stands at, with the tee its reach begins at and the customers on the way.
// A device without a position, or at no end, is planned by itself, and a note says so. `options.device_runs`
// is taken as false. ERROR: as PrepareProject.
Result<PreparedPlanning> PreparePlanning(const MapSource& source, const ProjectFacts& facts,
                                         PrepareOptions options);

// What planning on the network found, as it is kept with the plan. `names`: of nodes.
NetworkSummary SummaryOf(const NetworkConfirmation& network, const std::vector<std::string>& names);

}  // namespace lastreach
