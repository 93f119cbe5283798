#pragma once

#include <string>

#include "core/result.h"
#include "plan/device_plan.h"
#include "report/sheet_options.h"
#include "report/year_paper.h"

namespace lastreach {

// Only what has to be altered, as PDF: one line a device with a tick, in the order of the plan, and below
// them the devices at which nothing is to be keyed. The key-in sheet remains what is keyed from; this is the
// round.
//
// ERROR: as WriteKeyInSheet. REQUIRES: `options.paper` is kA4 or kLetter.
Status WriteChangesList(const SystemPlan& plan, const SheetOptions& options, const std::string& path);

// The same for a year: first what is keyed to begin with, then every date on which something changes.
Status WriteYearChangesList(const YearPlan& year, const YearPaper& paper, const SheetOptions& options,
                            const std::string& path);

}  // namespace lastreach
