#pragma once

#include <string>
#include <vector>

#include "month/month_report.h"
#include "month/month_table.h"

namespace lastreach {

// What volumes are printed in.
enum class VolumeUnit { kGallons, kCubicMetres };

// The month as it is printed, in every output alike. This is the one place that rounds: volumes to whole
// gallons or tenths of a cubic metre, so that
//   1. every line of the flush log and of the water by point adds up to the total below it, and the parts of
//   the
//      balance to the whole;
//   2. the total is the rounded sum, and no point's metered or estimated volume is off by more than a unit
//   and a
//      half.
struct MonthBook {
  std::string month;  // "2026-08"
  std::string title;  // "August 2026"
  VolumeUnit unit = VolumeUnit::kGallons;
  // summary, flush_log, readings, residuals, water, balance, byproducts, dechlorination, cost, exceptions:
  // all of them, empty or not, in this order.
  std::vector<MonthTable> tables;
  std::vector<std::string> notes;

  const MonthTable& Table(const std::string& key) const;  // REQUIRES: one of the above
};

// Whether a row of `water` tells of a run or of water: others are left out where people read.
bool IsWorthALine(const MonthTable& water, const std::vector<MonthCell>& row);

MonthBook MakeBook(const MonthReport& report, VolumeUnit unit);

// "m³" or "gal"; "m3" where only plain letters go.
std::string UnitText(VolumeUnit unit);
std::string UnitKey(VolumeUnit unit);

}  // namespace lastreach
