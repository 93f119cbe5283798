#include "plan/bound.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "quality/steady_bound.h"

namespace lastreach {

WaterBound LeastWater(const ReachModel& model, double target_mg_per_l) {
  // Water past the last place that is judged costs nothing to leave standing.
  Branch judged = model.branch;
  judged.segments.resize(model.judged.back() + 1);
  std::vector<double> hours_s;
  for (int hour = 0; hour <= 24; ++hour) hours_s.push_back(hour * kSecondsPerHour);
  const double budget = std::log(model.upstream_mg_per_l / target_mg_per_l);
  const auto floor = FloorOfEndFlow(judged, budget, hours_s, kHouseholdHours, {}, model.kinetics);
  if (!floor) return {};
  return {floor->proven_m3_per_s * kSecondsPerDay, BoundKind::kProven};
}

}  // namespace lastreach
