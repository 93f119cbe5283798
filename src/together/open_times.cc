#include "together/open_times.h"

#include <algorithm>

#include "calendar/runs.h"

namespace lastreach {
namespace {

// Stretches of any minutes, wrapped into the week, in order and joined.
OpenTimes Joined(const OpenTimes& loose) {
  OpenTimes wrapped;
  for (const OpenStretch& stretch : loose) {
    const int length = std::min(stretch.to_min - stretch.from_min, kMinutesAWeek);
    if (length <= 0) continue;
    const int from = ((stretch.from_min % kMinutesAWeek) + kMinutesAWeek) % kMinutesAWeek;
    wrapped.push_back({from, std::min(from + length, kMinutesAWeek)});
    if (from + length > kMinutesAWeek) wrapped.push_back({0, from + length - kMinutesAWeek});
  }
  std::sort(wrapped.begin(), wrapped.end(),
            [](const OpenStretch& a, const OpenStretch& b) { return a.from_min < b.from_min; });
  OpenTimes joined;
  for (const OpenStretch& stretch : wrapped) {
    if (!joined.empty() && stretch.from_min <= joined.back().to_min) {
      joined.back().to_min = std::max(joined.back().to_min, stretch.to_min);
    } else {
      joined.push_back(stretch);
    }
  }
  return joined;
}

TimerSettings OnEveryDay(TimerSettings settings) {
  for (Programme& programme : settings.programmes) {
    if (!std::holds_alternative<Weekdays>(programme.days)) programme.days = kEveryWeekday;
  }
  return settings;
}

}  // namespace

OpenTimes ClockWeek(const ControllerForm& form, const TimerSettings& settings) {
  // A Monday in the middle of three weeks, on a clock that never changes, so that queues from before are in.
  const Date monday(std::chrono::year(2026), std::chrono::month(6), std::chrono::day(8));
  const MinuteInstant begin = std::chrono::sys_days(monday);
  OpenTimes loose;
  for (const Run& run : ExpandRuns(form, OnEveryDay(settings), Zone::Utc(),
                                   {AddDays(monday, -7), AddDays(monday, 7)}, ClockState{})) {
    const auto from = static_cast<int>((run.start - begin).count());
    if (from >= 0 && from < kMinutesAWeek) loose.push_back({from, from + run.minutes});
  }
  return Joined(loose);
}

OpenTimes ShiftedTimes(const OpenTimes& times, int least_late_min, int most_late_min) {
  OpenTimes loose = times;
  for (OpenStretch& stretch : loose) {
    stretch.from_min += least_late_min;
    stretch.to_min += most_late_min;
  }
  return Joined(loose);
}

bool IsDaily(const OpenTimes& times) { return ShiftedTimes(times, kMinutesADay, kMinutesADay) == times; }

bool IsOpenAt(const OpenTimes& times, int minute) {
  const auto after =
      std::upper_bound(times.begin(), times.end(), minute,
                       [](int at, const OpenStretch& stretch) { return at < stretch.from_min; });
  return after != times.begin() && minute < std::prev(after)->to_min;
}

int OpenMinutes(const OpenTimes& times) {
  int minutes = 0;
  for (const OpenStretch& stretch : times) minutes += stretch.to_min - stretch.from_min;
  return minutes;
}

}  // namespace lastreach
