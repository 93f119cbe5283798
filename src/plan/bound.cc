#include "plan/bound.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "quality/steady_bound.h"

namespace lastreach {

Branch JudgedBranch(const ReachModel& model) {
  Branch judged = model.branch;
  judged.segments.resize(model.judged.back() + 1);
  return judged;
}

WaterBound LeastWater(const ReachModel& model, double target_mg_per_l) {
  std::vector<double> hours_s;
  for (int hour = 0; hour <= 24; ++hour) hours_s.push_back(hour * kSecondsPerHour);
  const double budget = std::log(model.upstream_mg_per_l / target_mg_per_l);
  const auto floor =
      FloorOfEndFlow(JudgedBranch(model), budget, hours_s, kHouseholdHours, {}, model.kinetics);
  if (!floor) return {};
  double beside_m3_per_s = 0;
  for (const ReachModel::Beside& flow : model.beside) beside_m3_per_s += flow.mean_m3_per_s;
  return {std::max(0.0, floor->proven_m3_per_s - beside_m3_per_s) * kSecondsPerDay, BoundKind::kProven};
}

}  // namespace lastreach
