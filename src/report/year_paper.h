#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>

#include "calendar/controller_form.h"
#include "calendar/settings.h"
#include "core/ids.h"
#include "report/sheet_options.h"
#include "year/year_plan.h"

namespace lastreach {

// What sheets of a year need beside its plan.
struct YearPaper {
  std::string name;  // "June 2026 to May 2027"
  std::map<PointCode, ControllerForm> forms{};
  std::map<PointCode, TimerSettings> present{};      // keyed now, where that is known
  std::map<PointCode, std::set<int>> trip_months{};  // in which somebody is there anyway, 1 to 12
};

// "01:00 and 13:00, 3 min": for a narrow box. Days only where they are not every day, the percentage only
// where it is not 100 %; "OFF".
std::string SettingsInShort(const TimerSettings& settings, SheetUnits units);

// What a timer stands at before a change: the settings of the part before the one that begins then, the year
// coming round. What was keyed before it was turned off is still in it. None where the change begins no part.
std::optional<TimerSettings> SettingsBefore(const YearPlan& year, const SettingsChange& change);

}  // namespace lastreach
