#pragma once

#include "plan/device_plan.h"
#include "plan/numbers.h"
#include "plan/reach_model.h"

namespace lastreach {

// The part of a model's reach whose water is judged: past the last judged place it costs nothing to leave
// standing.
Branch JudgedBranch(const ReachModel& model);

// The least water a day with which any schedule whatever could hold the target in this model [m3/d], and how
// far that is proven.
struct WaterBound {
  double m3_per_day = 0;
  BoundKind kind = BoundKind::kProven;
};

// Devices beside count as if all they draw came past the end: nothing less is proven, and a floor of 0 is
// what is left where they draw much.
//
// SOURCE: the window law and the steady bleed, docs/theory/transport.md.
WaterBound LeastWater(const ReachModel& model, double target_mg_per_l);

}  // namespace lastreach
