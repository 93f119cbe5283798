#include "town/season_settings.h"

namespace lastreach {
namespace {

constexpr Weekdays kMonThu{0x09};
constexpr Weekdays kMonWedFri{0x15};

DayPattern DaysOf(const DeviceBasis& basis, KeyedSeason season, Date from) {
  const bool counts = basis.form.day_patterns->front() != DayPatternKind::kWeekdays;
  switch (season) {
    case KeyedSeason::kWinter:
      return counts ? DayPattern(EveryNDays{4, from}) : DayPattern(kMonThu);
    case KeyedSeason::kSummer:
      return counts ? DayPattern(OddDates{}) : DayPattern(kEveryWeekday);
    default:
      return counts ? DayPattern(EveryNDays{3, from}) : DayPattern(kMonWedFri);
  }
}

}  // namespace

TimerSettings SeasonSettings(const DeviceBasis& basis, KeyedSeason season, Date from) {
  TimerSettings settings;
  settings.programmes.push_back(
      {{basis.start_min}, basis.minutes, DaysOf(basis, season, from), std::nullopt});
  return settings;
}

}  // namespace lastreach
