#pragma once

#include <span>
#include <vector>

#include "evidence/expected_water.h"

namespace lastreach {

// What goes through a point by one assumption about it, added up from the first read, at the moments at which
// explanations are compared: the reads themselves and the midnights between them.
struct WaterSeries {
  std::vector<double> at_read_m3, at_day_m3;              // volumes up to then
  std::vector<double> read_variance_m6, day_variance_m6;  // of these, runs and settings scattering
  std::vector<double> around_read_m3;  // through in the hours in which the read may have been; 0 with a time
};

struct SeriesMoments {
  std::vector<Instant> reads;
  std::vector<bool> has_time;  // of each read
  std::vector<Instant> days;   // day 0 is the first read itself
};

// Midnights of `zone` after the first and before the last read, the first read before them. REQUIRES: reads
// in order of time, two or more.
SeriesMoments MomentsOf(const Zone& zone, std::span<const Instant> reads, std::span<const bool> has_time);

// The series of runs at that flow, and `always_m3_per_s` besides.
// ERROR: what one addition for each run gives. COST: linear in runs and moments, times a logarithm.
WaterSeries SeriesOf(const SeriesMoments& moments, const std::vector<LikelyRun>& runs, double flow_m3_per_s,
                     double always_m3_per_s = 0);

// All of it times a factor.
WaterSeries Times(WaterSeries series, double factor);

}  // namespace lastreach
