#pragma once

#include "plan/device_plan.h"
#include "plan/numbers.h"
#include "plan/reach_model.h"

namespace lastreach {

// The least water a day with which any schedule whatever could hold the target in this model [m3/d], and how
// far that is proven.
struct WaterBound {
  double m3_per_day = 0;
  BoundKind kind = BoundKind::kProven;
};

// SOURCE: the window law and the steady bleed, docs/theory/transport.md.
WaterBound LeastWater(const ReachModel& model, double target_mg_per_l);

}  // namespace lastreach
