#pragma once

#include <string>

#include "core/result.h"
#include "plan/device_plan.h"
#include "report/sheet_options.h"

namespace lastreach {

// For whoever answers the phone, as PDF: what to ask, what to say and what to do when somebody reports
// running water, and a table of devices by street with the local hours each runs, as planned and until that
// is keyed. A device that runs outside its hours may have a valve stuck open.
//
// ERROR: as WriteKeyInSheet. REQUIRES: `options.paper` is kA4 or kLetter.
Status WritePhoneScript(const SystemPlan& plan, const SheetOptions& options, const std::string& path);

}  // namespace lastreach
