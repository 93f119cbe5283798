#pragma once

#include <string_view>

#include "calendar/settings.h"
#include "core/result.h"

namespace lastreach {

// Days as people write them: "M W F", "Mon/Wed/Fri", "MWF", "M-F", "TuTh", "daily", "weekdays", "weekends",
// "odd", "even", "every 3 days", "every other day", "every 3 days from 1 Jul 2026".
// ERROR: kBadInput for anything else, and for letters that could be two days ("S").
Result<DayPattern> ParseDays(std::string_view text);

}  // namespace lastreach
