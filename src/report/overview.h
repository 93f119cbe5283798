#pragma once

#include <string>

#include "core/result.h"
#include "plan/device_plan.h"
#include "report/sheet_options.h"

namespace lastreach {

// The whole plan for a desk, as PDF: season, totals (planned, present, least possible), a table of devices,
// then two devices a page with the residual through the worst fortnight, settings, reasons, what binds and
// which numbers are assumed. Residuals have one decimal, water two or three significant digits: the kit gives
// no more.
//
// ERROR: as WriteKeyInSheet.
// REQUIRES: `options.paper` is kA4 or kLetter.
Status WriteOverview(const SystemPlan& plan, const SheetOptions& options, const std::string& path);

// The plot of one device alone, as PNG of 1600 x 900 pixels.
// ERROR: kBadRequest if the device has no series; else as WriteKeyInSheet.
Status WriteResidualPlotPng(const DevicePlan& device, const SystemPlan& plan, const std::string& path);

}  // namespace lastreach
