#pragma once

#include <string>
#include <vector>

#include "calendar/runs.h"
#include "core/zone.h"
#include "plan/device_plan.h"
#include "report/page.h"
#include "report/sheet_options.h"

namespace lastreach {

// One curve of a residual plot. Values that are not finite leave a gap in the line.
struct PlotSeries {
  std::string label;
  ResidualSeries residual;
  std::vector<Run> runs;  // ticks under the axis
};

// Residual against days at one place: present settings dashed and dark teal, planned settings solid and warm
// orange, each with its name written at its line, so that a black-and-white copy can be read.
struct ResidualPlot {
  std::string title;
  double target_mg_per_l = 0;
  PlotSeries present;  // empty series are left out
  PlotSeries planned;
  SheetUnits units = SheetUnits::kMetric;  // decides how dates are written
};

// Draws into the box at `at`. Days and weekdays are those of `zone`.
void DrawResidualPlot(Canvas& canvas, Point at, double width_pt, double height_pt, const ResidualPlot& plot,
                      const Zone& zone);

}  // namespace lastreach
