#pragma once

#include "core/result.h"
#include "plan/device_plan.h"
#include "report/plot.h"

namespace lastreach {

// The plot of a device, with the runs of both settings through the days shown. A device without series gives
// a plot without lines. ERROR: kBadRequest if the plan's zone is unknown.
Result<ResidualPlot> PlotOf(const DevicePlan& device, const SystemPlan& plan);

bool HasLines(const ResidualPlot& plot);

}  // namespace lastreach
