#pragma once

#include <string>
#include <vector>

#include "core/result.h"
#include "network/network.h"
#include "plan/device_plan.h"
#include "plan/facts.h"
#include "together/confirm_pressure.h"
#include "together/planned_together.h"

namespace lastreach {

// What a plan does to pressures and tanks through a whole week, in words.
struct WeekOfPlan {
  std::vector<std::string> words;   // what was lowest, and when
  std::vector<std::string> broken;  // sentences on limits and reserves that are not kept
  std::vector<NotTogether> breaks;  // devices open when a pressure was too low
};

// ConfirmPressure of devices as planned. A reserve of a tank that is not on the map is said, not judged.
// ERROR: as FlowSimulation.
Result<WeekOfPlan> WeekOfPlanned(const Network& network, PressureJudge& judge, const JudgedOrder& order,
                                 const std::vector<DeviceFacts>& facts, const std::vector<DevicePlan>& plans,
                                 const std::vector<TankReserve>& reserves, const ConfirmOptions& options);

}  // namespace lastreach
