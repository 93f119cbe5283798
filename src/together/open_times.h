#pragma once

#include <vector>

#include "calendar/controller_form.h"
#include "calendar/settings.h"

namespace lastreach {

inline constexpr int kMinutesADay = 24 * 60;
inline constexpr int kMinutesAWeek = 7 * kMinutesADay;

// Minutes of a week, which begins on Monday at 0:00; [from, to), within the week.
struct OpenStretch {
  int from_min = 0;
  int to_min = 0;
  friend bool operator==(const OpenStretch&, const OpenStretch&) = default;
};
// In order, apart from each other: when one valve may be open.
using OpenTimes = std::vector<OpenStretch>;

// When these settings open the valve, by the device's own clock. Programmes on weekdays run on those; odd and
// even dates and every N days move through the week and stand for every day, so they may meet anybody. Starts
// that fall due while a run is on do as the form says. Empty where the timer is off.
OpenTimes ClockWeek(const ControllerForm& form, const TimerSettings& settings);

// The same where the clock may be anything from `least_late_min` to `most_late_min` behind the time that is
// asked for (below 0: ahead), one shift for the whole week: every minute at which it may be open.
OpenTimes ShiftedTimes(const OpenTimes& times, int least_late_min, int most_late_min);

// Whether every day is like the others.
bool IsDaily(const OpenTimes& times);
bool IsOpenAt(const OpenTimes& times, int minute);
int OpenMinutes(const OpenTimes& times);

}  // namespace lastreach
