#pragma once

#include <string>

#include "core/result.h"
#include "plan/device_plan.h"
#include "report/sheet_options.h"

namespace lastreach {

// A sign to hang beside each outlet, two a page to be cut apart, as PDF: that the water runs on purpose,
// when, what for and whom to ring. Devices that make no runs have none; a plan without any gives one page
// that says so. Hours are local ones.
//
// ERROR: as WriteKeyInSheet. REQUIRES: `options.paper` is kA4 or kLetter.
Status WriteSigns(const SystemPlan& plan, const SheetOptions& options, const std::string& path);

}  // namespace lastreach
