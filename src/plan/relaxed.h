#pragma once

#include <string>
#include <vector>

#include "plan/search.h"

namespace lastreach {

// What keeps a plan from using less water: the same search at the same corner with one thing let go at a
// time. Each thing that costs at least kSameWater is a sentence: "11 % less water without the forbidden
// hours." `least_m3_per_day` is what that search found with everything in force.
std::vector<std::string> WhatBinds(double least_m3_per_day, const DeviceFacts& facts,
                                   const ControllerForm& form, const PlanOptions& options, Trial& trial,
                                   const ReachModel& corner);

// Where nothing holds: which one thing, let go, would let something hold.
std::vector<std::string> WhatWouldHelp(const DeviceFacts& facts, const ControllerForm& form,
                                       const PlanOptions& options, Trial& trial, const ReachModel& corner);

}  // namespace lastreach
