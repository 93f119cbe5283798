#pragma once

#include <string>

#include "core/result.h"
#include "report/sheet_options.h"
#include "report/year_paper.h"

namespace lastreach {

// The year at a glance, as PDF on its side: a lane a device and twelve months across, in each part of the
// year what the timer stands at, the day it is changed, months somebody comes by anyway, and grey where a
// device is off for frost. What is to be said of a part stands numbered below. Prints in black and white.
//
// ERROR: as WriteKeyInSheet. REQUIRES: `options.paper` is kA4 or kLetter.
Status WriteSeasonCalendar(const YearPlan& year, const YearPaper& paper, const SheetOptions& options,
                           const std::string& path);

}  // namespace lastreach
