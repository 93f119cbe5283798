#pragma once

#include <iosfwd>

#include "plan/device_plan.h"

namespace lastreach {

// A plan for people to read: each device with its settings and why, then the sums.
void PrintPlan(const SystemPlan& plan, std::ostream& out);

}  // namespace lastreach
