#pragma once

#include <chrono>
#include <cstdint>
#include <vector>

#include "calendar/controller_form.h"
#include "calendar/settings.h"
#include "core/civil_time.h"
#include "core/zone.h"

namespace lastreach {

using MinuteInstant = std::chrono::sys_time<std::chrono::minutes>;

// One opening of the valve, as it really happens.
struct Run {
  MinuteInstant start;
  int32_t minutes = 0;
  int32_t programme = 0;  // 1-based, as on the timer's face
  MinuteInstant end() const { return start + std::chrono::minutes(minutes); }
  friend bool operator==(const Run&, const Run&) = default;
};

// Local dates, `to` left out.
struct DateWindow {
  Date from;
  Date to;
};

// A device's clock: how it stands to the zone's. Positive means it reads later than it should.
struct ClockState {
  bool follows_clock_change = false;
  int fast_minutes = 0;
};

// Every run those settings make that starts inside the window, in order of start.
//
// The clock reads standard time (or local time if it follows the change) plus `fast_minutes`. A start happens
// at the first moment the clock reads its time or later. The valve is shut, and starts count, from the start
// of the clock-day two days before `from`. Every-N programmes without a first day are taken to start
// `phases[i]` days after the clock-day two days before the window, i counting such programmes; missing phases
// are 0.
//
// Unknown overlap is expanded as kQueue. With `state` off there are no runs.
//
// ERROR: none; settings that cannot be keyed still expand (WhatCannotBeKeyed names them).
// COST: about 10 ns a start; O(starts log starts) only on the days around a clock change.
// SOURCE: the rules of docs/theory/calendar.md.
std::vector<Run> ExpandRuns(const ControllerForm& form, const TimerSettings& settings, const Zone& zone,
                            DateWindow window, ClockState clock, const std::vector<int>& phases = {});

// The same starts with each run taken to begin when it falls due and to run whole, whatever else is on: what
// the timer is asked to do rather than what it does. Two of them overlap where one begins before another
// ends.
std::vector<Run> ExpandStarts(const ControllerForm& form, const TimerSettings& settings, const Zone& zone,
                              DateWindow window, ClockState clock, const std::vector<int>& phases = {});

}  // namespace lastreach
