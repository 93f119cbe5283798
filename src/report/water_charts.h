#pragma once

#include <string>
#include <vector>

#include "report/page.h"
#include "report/sheet_options.h"
#include "year/year_plan.h"

namespace lastreach {

// One bar of water with its name at the left and its amount beside it.
struct WaterBar {
  std::string name;
  double m3 = 0;
  std::string amount;
  bool outlined = false;  // not filled: what can only be approached
};

// Bars on one scale from nothing, as long as the greatest fills the box. REQUIRES: amounts of 0 or more.
void DrawWaterBars(Canvas& canvas, Point at, double width_pt, const std::vector<WaterBar>& bars);
double HeightOfWaterBars(size_t bars);

// The year's least water for every number of visits, as steps; the point the plan takes is a disc with its
// amount, named ways of going about it are rings with their names as far as they lie within the picture.
// REQUIRES: a frontier of at least two points.
void DrawFrontierChart(Canvas& canvas, Point at, double width_pt, double height_pt, const YearPlan& year,
                       SheetUnits units);

}  // namespace lastreach
