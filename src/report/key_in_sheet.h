#pragma once

#include <string>

#include "core/result.h"
#include "plan/device_plan.h"
#include "report/sheet_options.h"

namespace lastreach {

// The card for the lid of one device, as PDF: what the clock must read, what to key in (every start in words
// and on the 24-hour clock, minutes keyed and effective, days, percentage, water a run, and every start and
// programme that must be OFF), the next three runs to check days and clock by, until when it holds, what
// changed since last time, cautions, and boxes to fill in by pen. A QR code leads to
// `page_base_url + "/points/" + code`.
//
// kChange prints what to key. kKeep prints the same and says "as now". Any other verdict prints no settings:
// it says not to key anything, and why.
//
// Settings are 16 pt or larger and nothing is below 9 pt. What does not fit goes to a further page, numbered;
// nothing is cut or shrunk. Black on white. The same input gives the same bytes.
//
// ERROR: kBadRequest if the zone is unknown or `page_base_url` too long for a QR code; kBadInput if `path`
// cannot be written; kInternal if something would stick out of its page. No file is left then.
// REQUIRES: `options.printed_on` is a real date.
Status WriteKeyInSheet(const DevicePlan& device, const SystemPlan& plan, const SheetOptions& options,
                       const std::string& path);

}  // namespace lastreach
