#pragma once

#include <string>
#include <vector>

#include "core/result.h"
#include "ledger/flush_point.h"
#include "plan/device_plan.h"
#include "report/sheet_options.h"

namespace lastreach {

// One table for the truck, as PDF: every device in the order given, one line each with a tick box, what is to
// be done there and room for the residual and the meter, then the hand-flushed points. The head of the table
// is repeated on every page.
//
// ERROR: as WriteKeyInSheet.
Status WriteRouteSheet(const SystemPlan& plan, const std::vector<FlushPoint>& hand_points,
                       const SheetOptions& options, const std::string& path);

}  // namespace lastreach
