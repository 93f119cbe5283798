#pragma once

#include <string>
#include <vector>

#include "calendar/settings.h"
#include "core/civil_time.h"
#include "core/quantity.h"
#include "plan/device_plan.h"
#include "report/sheet_options.h"

namespace lastreach {

// 70 -> "1:10 in the morning", 790 -> "1:10 in the afternoon", 1080 -> "6:00 in the evening" (evening from
// 18:00), 720 -> "12 noon", 0 -> "12 midnight". Never AM or PM: 12:00 PM is read both ways.
// REQUIRES: 0 <= minute_of_day < 1440.
std::string TimeInWords(int minute_of_day);

// "1 minute", "12 minutes", "1 h", "1 h 30 min".
std::string DurationInWords(int minutes);
// 36.4 -> "36 hours", 0.5 -> "30 minutes", 72 -> "3 days", 60 -> "2 days 12 hours".
std::string GapInWords(double hours);

std::string DateInWords(Date date, SheetUnits units);          // "1 July 2026", "July 1, 2026"
std::string WeekdayAndDate(Date date, SheetUnits units);       // "Wednesday 1 July 2026"
std::string ShortWeekdayAndDate(Date date, SheetUnits units);  // "Wed 1 Jul", "Wed Jul 1"

// "every day", "odd dates (1st, 3rd, 5th ...)", "every 3 days, first day Wednesday 1 July 2026".
std::string DaysInWords(const DayPattern& days, SheetUnits units);

std::string ProgrammeWord(SheetUnits units);                // "programme" or "program"
std::string ProgrammeName(size_t index, SheetUnits units);  // 0 -> "Programme 1"

// "KEY THESE SETTINGS", "AS NOW", "DO NOT KEY ANYTHING": one glance at arm's length.
std::string_view Headline(Verdict verdict);
// "change", "keep", "no flushing needed", "flushing is not the answer", "cannot be held", "too little known".
std::string_view ToWords(Verdict verdict);

}  // namespace lastreach
