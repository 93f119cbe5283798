#pragma once

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "plan/facts.h"
#include "plan/numbers.h"
#include "together/open_times.h"

// How settings are chosen where nobody plans them: common practice, no source. Each is keyed once and left,
// at two in the morning, every day unless said otherwise, in runs of at most six hours.
namespace lastreach {

struct RuleOfThumb {
  std::string name;
  TimerSettings (*settings)(const PlanningNumbers& numbers);
};

// One programme of as many equal runs as six hours each make necessary, from 02:00 on.
inline TimerSettings Runs(double minutes, DayPattern days) {
  constexpr double kMost_min = 360;
  const int runs = std::clamp(static_cast<int>(std::ceil(minutes / kMost_min)), 1, 4);
  Programme programme;
  for (int r = 0; r < runs; ++r)
    programme.starts_min.push_back((120 + r * kMinutesADay / runs) % kMinutesADay);
  std::sort(programme.starts_min.begin(), programme.starts_min.end());
  programme.minutes = static_cast<int>(std::clamp(std::ceil(minutes / runs), 1.0, kMost_min));
  programme.days = days;
  TimerSettings settings;
  settings.on = minutes > 0;
  settings.programmes.push_back(programme);
  return settings;
}

inline double MinutesFor(double volume_m3, const PlanningNumbers& numbers) {
  return volume_m3 / numbers.flow_m3_per_s / kSecondsPerMinute;
}

// The neighbour's setting.
inline TimerSettings HalfAnHourEveryNight(const PlanningNumbers&) { return Runs(30, kEveryWeekday); }

// Monday and Thursday.
inline TimerSettings ThreeVolumesTwiceAWeek(const PlanningNumbers& numbers) {
  return Runs(MinutesFor(3 * numbers.volume_m3(), numbers), Weekdays{0b0001001});
}
inline TimerSettings OneVolumeEveryNight(const PlanningNumbers& numbers) {
  return Runs(MinutesFor(numbers.volume_m3(), numbers), kEveryWeekday);
}

// Water as old as three days at most by the balance: V / 3 d less what the customers use.
inline TimerSettings VolumeOverTargetAge(const PlanningNumbers& numbers) {
  constexpr double kTargetAge_days = 3;
  const double use_m3_per_day = numbers.demand_m3_per_s() * kSecondsPerDay;
  const double need_m3_per_day = std::max(0.0, numbers.volume_m3() / kTargetAge_days - use_m3_per_day);
  return Runs(MinutesFor(need_m3_per_day, numbers), kEveryWeekday);
}

inline const std::vector<RuleOfThumb>& RulesOfThumb() {
  static const std::vector<RuleOfThumb> rules = {
      {"30 minutes every night", HalfAnHourEveryNight},
      {"three volumes, Monday and Thursday", ThreeVolumesTwiceAWeek},
      {"one volume every night", OneVolumeEveryNight},
      {"volume over a target age of 3 days", VolumeOverTargetAge}};
  return rules;
}

}  // namespace lastreach
