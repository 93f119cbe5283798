#pragma once

#include "town/true_valve.h"

namespace lastreach {

// What stands and moves in the main behind one valve, as it really is, with the services taken to be at its
// end and no mixing along it. Water that enters at `t - age` is at the end when as much has gone through as
// the main holds:
//   W(t) - W(t - age) = V,   W(t) = valve(t) + demand t
struct TrueReach {
  double volume_m3 = 0;
  double demand_m3_per_s = 0;
  double decay_per_day_20c = 0;
};

inline constexpr double kOldestTold_days = 60;

// Age of the water that stands `short_of_end_m3` before the end, at most kOldestTold_days. [d]
// ERROR: below a second. REQUIRES: 0 <= short_of_end_m3 <= reach.volume_m3
double Age_days(const TrueReach& reach, const TrueValve& valve, Instant moment, double short_of_end_m3 = 0);

// First-order loss at another temperature, with a factor of 1.07 a degree (common practice, no source).
double Decay_per_day(const TrueReach& reach, double temperature_c);

}  // namespace lastreach
