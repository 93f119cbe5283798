#pragma once

#include <chrono>
#include <string>
#include <string_view>

#include "core/result.h"

namespace lastreach {

// Three kinds of time, which the compiler keeps apart:
using Instant = std::chrono::sys_seconds;      // a moment, seconds since 1970-01-01 00:00 UTC
using LocalTime = std::chrono::local_seconds;  // what a wall clock reads, with no zone
using Date = std::chrono::year_month_day;      // a day on a wall calendar

// Days since 1970-01-01 of the proleptic Gregorian calendar, the key the calendar room counts in.
constexpr int DayNumber(Date date) {
  return static_cast<int>(std::chrono::sys_days(date).time_since_epoch().count());
}
constexpr Date DateOfDayNumber(int day) { return Date(std::chrono::sys_days(std::chrono::days(day))); }

// The UTC date of a moment.
Date DateOf(Instant instant);

LocalTime Midnight(Date date);
Date AddDays(Date date, int days);
// The same day and month `years` later; 29 February becomes 28 February where there is none.
Date AddYears(Date date, int years);

// "2026-07-01". ERROR: kBadInput unless it is exactly yyyy-mm-dd and the date exists.
Result<Date> ParseDate(std::string_view text);
// "07:05" to minutes of the day, 425. ERROR: kBadInput unless hh:mm (or h:mm) with 0:00 <= time <= 23:59.
Result<int> ParseTimeOfDay(std::string_view text);

std::string FormatDate(Date date);         // "2026-07-01"
std::string FormatTimeOfDay(int minutes);  // 425 -> "07:05"
std::string FormatLocal(LocalTime time);   // "2026-07-01 07:05"
std::string_view WeekdayName(Date date);   // "Wednesday"

// RFC 3339 with a numeric offset: "2026-07-01T02:10:00-05:00". UTC prints as "+00:00".
std::string FormatRfc3339(Instant instant, std::chrono::seconds offset);
// Accepts an offset or Z. ERROR: kBadInput otherwise.
Result<Instant> ParseRfc3339(std::string_view text);

}  // namespace lastreach
