#pragma once

#include <string>

#include "core/result.h"
#include "plan/device_plan.h"
#include "report/sheet_options.h"

namespace lastreach {

// The runs of all devices on one clock, as PDF on its side: a lane a device and kind of day, 24 hours across
// on everybody's clock, and under them how many run at once in any week, so that two devices running together
// can be seen at a glance. Devices that make no runs are named below. Prints in black and white.
//
// ERROR: as WriteKeyInSheet. REQUIRES: `options.paper` is kA4 or kLetter.
Status WriteWeekCalendar(const SystemPlan& plan, const SheetOptions& options, const std::string& path);

}  // namespace lastreach
