#pragma once

#include <string>
#include <vector>

#include "plan/device_plan.h"
#include "plan/facts.h"

namespace lastreach {

// "0.4 mg/L": one decimal, as good as the kit that reads it.
std::string Residual(double mg_per_l);
// "11 %".
std::string Percent(double share);
// "23 h 40 min".
std::string HoursAndMinutes(double hours);

// Two or three sentences an operator would say about planned settings and the present ones. REQUIRES:
// planned_outcome.
std::vector<std::string> ReasonsFor(const DevicePlan& plan);

// What to watch at this point beyond the standing cautions: its outlet, its measured flow.
std::vector<std::string> CautionsFor(const DeviceFacts& facts);

}  // namespace lastreach
