#pragma once

#include <string>
#include <string_view>

#include "calendar/runs.h"
#include "core/result.h"

namespace lastreach {

struct Season {
  std::string name;  // "summer 2027"
  DateWindow days;
};

// The season asked for: "summer", "winter", "spring", "autumn" or "year", alone (the one that is on, or the
// next to come) or with the year it begins in, "summer-2027". Four months of summer (June to September north
// of the equator), two of spring and autumn, four of winter; six months later in the south. "year" is twelve
// months from the first of the coming month. Common practice, no source: settings are changed when the water
// warms and cools. ERROR: kBadRequest for any other word.
Result<Season> SeasonOf(std::string_view text, Date today, bool south);

}  // namespace lastreach
