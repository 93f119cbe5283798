#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/civil_time.h"
#include "core/result.h"

namespace lastreach {

// How 03/04/2026 is meant where the row itself does not tell.
enum class DateOrder { kDayFirst, kMonthFirst };

// What the cells of one column show: some first number above 12 means day first, some second one month
// first. None if there is no such cell, or both kinds (then only the cells that tell by themselves are read).
std::optional<DateOrder> DateOrderOf(const std::vector<std::string>& cells);

struct ParsedDay {
  Date day;
  std::string time;  // what follows the date: "13:10"; empty if nothing does
  std::string note;  // how an unusual one was read: "day 46206 of the spreadsheet"
};

// A date in any of: 2026-07-03, 2026/07/03, 20260703, 3/7/2026, 3.7.26, 3-7-2026, 3 Jul 26, Jul 3, 2026,
// 3-July-2026, with or without a day of the week before it and a time behind it; or a spreadsheet's day
// number. Two-digit years are 20xx.
// ERROR: kBadInput if it is no date, no such day, or day and month could be either way about and `order` is
// none.
Result<ParsedDay> ParseDay(std::string_view text, std::optional<DateOrder> order);

// Minutes of the day: "13:10", "1310", "1:10 am", "1.10 in the morning", "13h10", "noon", "12 midnight", or
// the fraction of a day a spreadsheet holds (0.548611). ERROR: kBadInput for anything else; a lone number of
// one or two digits needs am or pm.
Result<int> ParseClock(std::string_view text);

// Several of them: "1:10 AM, 1:10 PM", "0110 1310", "1:10 and 13:10".
Result<std::vector<int>> ParseClocks(std::string_view text);

// Whole minutes: "30", "30 min", "1 h 15", "1h15m", "1:15", "1.5 h", "00:30:00". ERROR: kBadInput otherwise.
Result<int> ParseMinutes(std::string_view text);

}  // namespace lastreach
