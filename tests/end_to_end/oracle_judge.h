#pragma once

#include "calendar/runs.h"
#include "core/zone.h"
#include "plan/numbers.h"

namespace lastreach {

// What the slow oracles say of some settings.
struct OracleLow {
  double found_mg_per_l = 0;  // the lowest of all parcels met: no water is better known than this
  double least_mg_per_l = 0;  // no water between two parcels was lower
};

// The lowest residual at any judged place of a reach over `window`, by walking a simulated timer through
// every minute and pushing parcels along the pipe. Shares with the planner the reach's numbers and the
// formulas of loss, but not its calendar, its flows through time, its transport, its choice of the worst
// moment or its warm-up.
//
// ERROR: a parcel is let in every kRelease_s, every minute while the device is open, and a second
// before it shuts, which lets the last water in before the standstill. What goes by between two parcels is
// at most one spacing older than the later of them; `least` takes it to have lost as fast as that one did on
// its whole way. Water of before the warm-up counts as 0.
// `fast_minutes`: how far the clock is out.
OracleLow JudgeSlowly(const ControllerForm& form, const TimerSettings& settings, const Zone& zone,
                      DateWindow window, int fast_minutes, const PlanningNumbers& numbers,
                      const Deviates& deviates, int warm_up_days);

inline constexpr double kRelease_s = 900;

}  // namespace lastreach
