#pragma once

#include <map>
#include <string>
#include <vector>

#include "core/civil_time.h"

namespace lastreach {

// One reading of the water's temperature.
struct DayTemperature {
  Date day;
  double celsius = 0;
};

// How warm the water of one month gets.
struct WarmestOfMonth {
  double celsius = 0;
  Date from;  // the first and the last day it is the mean of
  Date to;
  int readings = 0;  // of that month of that year
  // "mean of the warmest 7 days, 2026-08-10 to 2026-08-16", "highest of 5 readings, 2026-08-14"
  std::string how;
};

// For each month (1 to 12) that has readings: of every year the mean of the seven days in a row, all in that
// month and each with a reading, that are warmest; where no seven days are in a row the highest reading; and
// of the years the highest. Of several readings of one day the highest counts. COST: n log n of the readings.
std::map<int, WarmestOfMonth> WarmestOf(const std::vector<DayTemperature>& readings);

}  // namespace lastreach
