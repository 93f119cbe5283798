#pragma once

#include "core/zone.h"
#include "plan/device_plan.h"
#include "report/page_flow.h"
#include "report/sheet_options.h"

namespace lastreach {

// Half a page about one device: name and verdict, two sentences that say it all, the residual through the
// worst fortnight, settings now and planned with what they do, reasons, what binds, the reach, and the
// numbers nobody measured. Runs on where it is longer.
void AddDeviceSection(PageFlow& flow, const DevicePlan& device, const SystemPlan& plan, const Zone& zone,
                      SheetUnits units);

}  // namespace lastreach
