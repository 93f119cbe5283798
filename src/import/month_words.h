#pragma once

#include <string_view>
#include <utility>

#include "core/result.h"
#include "ledger/months.h"

namespace lastreach {

// The first three letters decide: "July", "Jul.", "jul" are 7; 0 if it is no month.
int MonthOfWord(std::string_view word);

// One month: "Nov", "November", "11", "Nov 2026", "2026-11". ERROR: kBadInput for anything else.
Result<int> ParseMonth(std::string_view text);

// A month of a year: "Jul 2026", "July-26", "2026-07", "7/2026", "202607", and any day of it: "2026-07-31".
// ERROR: kBadInput for anything else.
Result<std::pair<int, int>> ParseYearMonth(std::string_view text);

// A stretch of months, both taken in: "November to March", "Nov-Mar", "11 - 3", "January".
// ERROR: kBadInput for anything else.
Result<std::pair<int, int>> ParseMonthStretch(std::string_view text);

// Some months of every year: "monthly", "every month", "March, September", "Mar & Sep", "April to June".
// ERROR: kBadInput for anything else, and for how often without which: "quarterly".
Result<Months> ParseMonths(std::string_view text);

}  // namespace lastreach
