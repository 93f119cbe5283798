#pragma once

#include <array>
#include <string>
#include <vector>

#include "core/zone.h"
#include "plan/device_plan.h"
#include "report/speech.h"

namespace lastreach {

// Two devices that run at the same moment in some week of the season.
struct Together {
  std::string code;
  std::string other_code;
  ClockSpan span;   // the first such stretch of the day, on everybody's clock
  int minutes = 0;  // together in the week looked at
};

// What the calendars of all devices come to in the season's first full week from Monday; where the season has
// none, in its first days. Clocks right, settings as planned (as found where nothing is to be keyed).
struct WeekTogether {
  std::array<int, 1440> most_at_once{};  // [minute of the day] devices that run, on the fullest day
  std::vector<Together> pairs;           // most minutes first
};
WeekTogether RunsTogether(const SystemPlan& plan, const Zone& zone);

}  // namespace lastreach
