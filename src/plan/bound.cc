#include "plan/bound.h"

#include <cmath>

namespace lastreach {

WaterBound LeastWater(const ReachModel& model, double target_mg_per_l) {
  (void)model;
  (void)target_mg_per_l;
  return {};
}

}  // namespace lastreach
