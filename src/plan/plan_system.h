#pragma once

#include <functional>
#include <vector>

#include "plan/device_plan.h"
#include "plan/facts.h"

namespace lastreach {

// Plans every device by itself, in the order given, on as many threads as the machine has cores. `progress`
// is called after each with how many are done; calls do not overlap.
std::vector<DevicePlan> PlanDevices(const std::vector<DeviceFacts>& devices, const PlanOptions& options,
                                    const std::function<void(size_t done)>& progress = {});

// The plans of all devices as one, with their sums. `together`: limits on the water of a zone or of the whole
// system, which no device can keep alone; they are compared with the sums, and what exceeds them is a
// sentence in `notes`.
SystemPlan Assemble(std::vector<DevicePlan> devices, const PlanOptions& options,
                    const std::vector<Limit>& together = {});

// Both.
SystemPlan PlanSystem(const std::vector<DeviceFacts>& devices, const PlanOptions& options,
                      const std::vector<Limit>& together = {},
                      const std::function<void(size_t done)>& progress = {});

}  // namespace lastreach
