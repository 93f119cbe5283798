#pragma once

#include <string>
#include <vector>

#include "core/result.h"
#include "plan/device_plan.h"
#include "plan/facts.h"
#include "together/planning_network.h"

namespace lastreach {

// What a plan does to the speed of water, as cautions: to each device's own where it may stir up what lies in
// a main or does not move its branch surely (device_speeds.h); those on devices that shut in the same minute
// (closing_surge.h) are returned, the worst first. No plan is changed for them.
// ERROR: as MomentsOf and SpeedsOf. COST: where tanks have levels eight days of flows, and a steady state a
// device.
Result<std::vector<std::string>> AddSpeedCautions(const PlanningNetwork& network,
                                                  const std::vector<DeviceFacts>& facts,
                                                  std::vector<DevicePlan>& plans);

}  // namespace lastreach
