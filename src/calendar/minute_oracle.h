#pragma once

#include <vector>

#include "calendar/runs.h"

namespace lastreach {

// The same promise as ExpandRuns(), kept the slow way: a simulated timer that looks at its clock every minute
// of every day, opens and shuts a valve, and writes down what it did. Shares no code with the fast path but
// the zone's offset at a moment. For tests.
std::vector<Run> RunsByWalkingEveryMinute(const ControllerForm& form, const TimerSettings& settings,
                                          const Zone& zone, DateWindow window, ClockState clock,
                                          const std::vector<int>& phases = {});

}  // namespace lastreach
