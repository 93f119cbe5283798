#pragma once

#include <string>
#include <vector>

#include "plan/device_plan.h"

namespace lastreach {

// What a sheet warns of: first what the plan found for this device, then the standing cautions that fit its
// outlet, its percentage and its verdict. No sentence twice.
std::vector<std::string> CautionsFor(const DevicePlan& device);

}  // namespace lastreach
