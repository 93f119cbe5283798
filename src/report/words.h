#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "calendar/controller_form.h"
#include "calendar/settings.h"
#include "core/civil_time.h"
#include "plan/device_plan.h"
#include "report/sheet_options.h"

namespace lastreach {

// 70 -> "1:10 in the morning", 790 -> "1:10 in the afternoon", 1080 -> "6:00 in the evening" (evening from
// 18:00), 720 -> "12 noon", 0 -> "12 midnight". Never AM or PM: 12:00 PM is read both ways.
// REQUIRES: 0 <= minute_of_day < 1440.
std::string TimeInWords(int minute_of_day);

std::string MinutesInWords(int minutes);  // "1 minute", "12 minutes", "1 h 30 min"
std::string HoursInWords(
    double hours);  // to the nearest hour: "36 hours", from 72 on in days: "3 days 4 hours"

std::string DateInWords(Date date, SheetUnits units);          // "1 July 2026", "July 1, 2026"
std::string ShortDate(Date date, SheetUnits units);            // "1 Jul", "Jul 1"
std::string WeekdayAndDate(Date date, SheetUnits units);       // "Wednesday 1 July 2026"
std::string ShortWeekdayAndDate(Date date, SheetUnits units);  // "Wed 1 Jul"

// "every day", "Monday, Wednesday and Friday", "odd dates (1, 3, 5 …)", "every 3 days, the
// first is Wednesday 1 July 2026".
std::string DaysInWords(const DayPattern& days, SheetUnits units);

// The same for a line of small type: "every day", "Mon, Wed, Fri", "odd dates", "every 3 days from 1 Jul".
std::string DaysInShort(const DayPattern& days, SheetUnits units);

std::string ProgrammeWord(SheetUnits units);                // "Programme" or "Program"
std::string ProgrammeName(size_t index, SheetUnits units);  // 0 -> "Programme 1"
std::string SummerTimeWord(SheetUnits units);               // "summer time" or "daylight saving time"

// The percentage a programme runs at: its own where the form gives each one, else the timer's.
int PercentOf(const ControllerForm& form, const TimerSettings& settings, const Programme& programme);

// Whether keying it makes any run: it has starts, minutes and days.
bool IsUsed(const Programme& programme);

// All that is keyed, for a line of small type: "Programme 1: 01:10 and 13:10, 12 minutes, every day; 130 %".
std::string SettingsInOneLine(const ControllerForm& form, const TimerSettings& settings, SheetUnits units);

// "change", "keep", "no flushing needed", "flushing is not the answer", "cannot be held", "too little known".
std::string_view ToWords(Verdict verdict);

// "a", "a and b", "a, b and c".
std::string JoinedWithAnd(const std::vector<std::string>& items);

}  // namespace lastreach
