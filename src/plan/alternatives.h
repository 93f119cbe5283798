#pragma once

#include <utility>
#include <vector>

#include "plan/device_plan.h"
#include "plan/facts.h"

namespace lastreach {

// Another way to key a device that is as sure as its plan, for devices that must not all run at one time.
struct Alternative {
  TimerSettings settings;
  int shift_min = 0;  // how much later than the plan its starts are, on the device's clock
  double water_m3_per_day = 0;
  // What its clock reads when the valve opens and when it shuts, in order, on a day on which it runs.
  std::vector<std::pair<int, int>> runs_clock_min;
};

// The plan itself, and the same days and number of starts moved through the day all together by multiples of
// `stride_min` (rounded up to the form's step). Starts that may not be (forbidden hours, midnight, noon) give
// way to the nearest that may, at most half a stride away. Each has the fewest minutes that are sure in the
// draws a plan is chosen by, and a step more for as long as the fresh ones it is measured in do not agree;
// what no minutes make sure is left out. Settle measures one over the season, as a plan is.
//
// Empty where the plan has no settings that run. Ends early if asked to stop, with those found by then.
// COST: about one PlanDevice. DETERMINISM: as PlanDevice.
std::vector<Alternative> AlternativesOf(const DeviceFacts& facts, const PlanOptions& options,
                                        const DevicePlan& plan, int stride_min = 30);

}  // namespace lastreach
