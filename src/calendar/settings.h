#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "calendar/controller_form.h"
#include "core/civil_time.h"
#include "core/result.h"

namespace lastreach {

// Days of the week, Monday first: bit 0 is Monday, bit 6 Sunday.
struct Weekdays {
  unsigned bits = 0;

  bool Has(int monday_based) const { return (bits >> monday_based & 1U) != 0; }
  int count() const;
  friend bool operator==(const Weekdays&, const Weekdays&) = default;
};
inline constexpr Weekdays kEveryWeekday{0x7F};

struct OddDates {
  friend bool operator==(const OddDates&, const OddDates&) = default;
};
struct EvenDates {
  friend bool operator==(const EvenDates&, const EvenDates&) = default;
};
// Days whose distance from `from` is a multiple of `n`, not before `from`. Without `from` the phase is
// unknown.
struct EveryNDays {
  int n = 1;
  std::optional<Date> from;
  friend bool operator==(const EveryNDays&, const EveryNDays&) = default;
};
using DayPattern = std::variant<Weekdays, OddDates, EvenDates, EveryNDays>;

struct Programme {
  std::vector<int> starts_min;  // minutes of the clock-day, in the order they are keyed
  int minutes = 0;              // as keyed, before the percentage
  DayPattern days = kEveryWeekday;
  std::optional<int> percent;  // only where the form says each programme has its own
  friend bool operator==(const Programme&, const Programme&) = default;
};

// Everything keyed into one timer.
struct TimerSettings {
  bool on = true;
  int percent = 100;
  std::vector<Programme> programmes;
  friend bool operator==(const TimerSettings&, const TimerSettings&) = default;
};

// Minutes a run of `programme` really lasts: keyed minutes x percentage / 100, rounded half up to the form's
// step, then held within its least and most minutes. An unknown step counts as 1, an unknown bound as none.
int EffectiveMinutes(const ControllerForm& form, const TimerSettings& settings, const Programme& programme);

// Why this timer could not be keyed so ("start 01:07 is not on a 5-minute step"), one sentence each.
std::vector<std::string> WhatCannotBeKeyed(const ControllerForm& form, const TimerSettings& settings);

// "every day", "Monday, Wednesday and Friday", "odd dates", "every 3 days from 2026-07-01".
std::string Describe(const DayPattern& days);

}  // namespace lastreach
