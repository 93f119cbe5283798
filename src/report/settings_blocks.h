#pragma once

#include "plan/device_plan.h"
#include "report/page_flow.h"
#include "report/sheet_options.h"

namespace lastreach {

// State, percentage and every programme of the planned settings, large enough to key from: starts in words
// and on the 24-hour clock, minutes keyed and effective, days as seven boxes or in words, water a run. Starts
// and programmes the form has and the plan does not use are listed as OFF, so that nothing old stays behind.
void AddSettings(PageFlow& flow, const DevicePlan& device, SheetUnits units);

// Water of one run of programme `index`: the plan's volume of the first used programme, by minutes.
// 0 where nothing is known.
Volume VolumeARun(const DevicePlan& device, size_t index);

}  // namespace lastreach
