#pragma once

#include <functional>
#include <vector>

#include "app/planning_network.h"
#include "plan/facts.h"
#include "together/network_plan.h"

namespace lastreach {

// The plan of devices for one season on the whole network: reaches that share mains are planned as one, each
// for the residual that arrives (network_plan.h), and devices that would break a limit together are moved
// through the day (arrange.h). `facts`: with the water of the season; `together`: limits on what devices do
// together. `shut`: devices that stand shut whatever they need, for frost; none if empty. ERROR: as
// PlanOnNetwork and Arranger::Make.
Result<NetworkPlan> PlanSeasonOnNetwork(const std::vector<DeviceFacts>& facts, const PlanningNetwork& network,
                                        const std::vector<Limit>& together, const PlanOptions& options,
                                        const NetworkPlanOptions& network_options = {},
                                        const std::function<bool(const DeviceFacts&)>& shut = {},
                                        const std::function<void(size_t done)>& progress = {});

}  // namespace lastreach
