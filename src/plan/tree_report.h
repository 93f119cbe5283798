#pragma once

#include <span>
#include <string>
#include <vector>

#include "plan/device_plan.h"
#include "plan/tree_member.h"

namespace lastreach {

// "T01, T02 and T03".
std::string NamedTogether(const std::vector<std::string>& names);
// "17.3 m3 a day".
std::string CubicMetresADay(double water);

// One device's plan as it is alone, retold with settings chosen together with its neighbours: what they do on
// its reach while the others run as `settings` say, measured as in PlanDevice. `neighbours`: their codes.
DevicePlan RetoldTogether(const DevicePlan& alone, const TreeMember& member, const DeviceFacts& beside,
                          const TimerSettings& settings, const std::vector<std::string>& neighbours,
                          const PlanOptions& options);

}  // namespace lastreach
