#pragma once

#include <vector>

#include "calendar/controller_form.h"
#include "calendar/runs.h"
#include "calendar/settings.h"
#include "core/zone.h"

namespace lastreach {

// The day patterns worth trying on this form, every day first: for each number of weekdays the set with the
// shortest longest gap, every 2 to 14 days, odd and even dates.
std::vector<DayPattern> DayPatternsToTry(const ControllerForm& form, Date first_day, bool every_kind);

// Stretches of the season in which a pattern's longest gap and its neighbours fall, on both sides of a clock
// change inside the season. Settings that hold in these hold in the season, which the plan confirms
// afterwards.
std::vector<DateWindow> WindowsToJudge(const DayPattern& days, const Zone& zone, DateWindow season);

}  // namespace lastreach
