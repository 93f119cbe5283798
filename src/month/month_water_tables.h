#pragma once

#include <vector>

#include "month/month_tables.h"

namespace lastreach {

// The tables whose numbers hang together, rounded together: flush_log, water, balance and cost.
struct WaterTables {
  MonthTable flush_log, water, balance, cost;
};
WaterTables MakeWaterTables(const MonthReport& report, VolumeUnit unit);

// A volume to the place the unit is printed to.
MonthNumber RoundedVolume(double volume_m3, VolumeUnit unit);

}  // namespace lastreach
