#pragma once

#include <optional>
#include <span>

#include "ledger/records.h"

namespace lastreach {

// A straight line through readings of one analyte over time, by least squares:
//
//   slope = S_xy / S_xx,   its standard error = sqrt((S_yy - slope S_xy) / ((n - 2) S_xx))
//
// with x in days. A reading below detection counts at half its limit.
struct ResidualTrend {
  int samples = 0;
  double slope_mg_per_l_per_day = 0;
  double slope_error_mg_per_l_per_day = 0;
  double middle_mg_per_l = 0;  // at middle_day
  double middle_day = 0;       // as DayNumber

  bool IsFalling() const { return slope_mg_per_l_per_day < -2 * slope_error_mg_per_l_per_day; }
  double At(Date day) const {
    return middle_mg_per_l + slope_mg_per_l_per_day * (DayNumber(day) - middle_day);
  }
};

// None of fewer than five, or all of one day.
std::optional<ResidualTrend> TrendOf(std::span<const Sample> samples);

}  // namespace lastreach
