#include "town/true_reach.h"

#include <cmath>

#include "core/quantity.h"

namespace lastreach {
namespace {

constexpr double kFactorADegree = 1.07;

}  // namespace

double Age_days(const TrueReach& reach, const TrueValve& valve, Instant moment, double short_of_end_m3) {
  const double wanted_m3 = reach.volume_m3 - short_of_end_m3;
  const double now_m3 = valve.VolumeBefore_m3(moment);
  int64_t young_s = 0;
  auto old_s = static_cast<int64_t>(kOldestTold_days * kSecondsPerDay);
  // What went through grows with the age asked about, so halving finds the one age that fits.
  while (old_s - young_s > 1) {
    const int64_t middle_s = young_s + (old_s - young_s) / 2;
    const double through_m3 = now_m3 - valve.VolumeBefore_m3(moment - std::chrono::seconds(middle_s)) +
                              reach.demand_m3_per_s * static_cast<double>(middle_s);
    (through_m3 < wanted_m3 ? young_s : old_s) = middle_s;
  }
  return static_cast<double>(old_s) / kSecondsPerDay;
}

double Decay_per_day(const TrueReach& reach, double temperature_c) {
  return reach.decay_per_day_20c * std::pow(kFactorADegree, temperature_c - 20);
}

}  // namespace lastreach
