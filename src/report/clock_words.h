#pragma once

#include <string>

#include "calendar/runs.h"
#include "core/zone.h"
#include "report/sheet_options.h"

namespace lastreach {

// How the clock of a timer must stand: three words to remember, and the rest in a sentence or two.
struct ClockWords {
  std::string headline;  // "Standard time, all year"
  std::string detail;    // the dates of summer time, and what this clock reads when a phone reads 15:00
};

// For the year that begins on `from`. A form that does not say whether the clock follows the change is taken
// as one that does not, and the words say so.
ClockWords ClockMustRead(const ControllerForm& form, const Zone& zone, Date from, SheetUnits units);

// What that clock reads at a moment: local time if it follows the change, else standard time.
LocalTime DeviceClockAt(const ControllerForm& form, const Zone& zone, MinuteInstant moment);

// "Wed 1 Jul, 1:10 in the morning".
std::string ShortMomentInWords(LocalTime time, SheetUnits units);
// "Wed 1 Jul, 01:10".
std::string MomentInDigits(LocalTime time, SheetUnits units);

}  // namespace lastreach
