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

// What the devices that have a plan use as they are keyed now [m3/d]: what planned_m3_per_day is to be held
// against. present_m3_per_day is of all devices, those that no settings can hold among them.
double PresentOfPlanned_m3_per_day(const SystemPlan& plan);

// Both.
SystemPlan PlanSystem(const std::vector<DeviceFacts>& devices, const PlanOptions& options,
                      const std::vector<Limit>& together = {},
                      const std::function<void(size_t done)>& progress = {});

}  // namespace lastreach
