#include "plan/tree_bound.h"

#include <algorithm>
#include <limits>
#include <numeric>

#include "quality/demand_cycle.h"

namespace lastreach {
namespace {

// One tree's floors, each part of it asked once.
class TreeFloors {
 public:
  TreeFloors(const TreeShape& shape, std::span<const double> time_s, std::span<const double> factor)
      : shape_(shape), time_s_(time_s), factor_(factor), beyond_(shape.stretches.size()) {
    for (size_t e = 0; e < shape.ends.size(); ++e) {
      for (const size_t s : shape.WayTo(shape.ends[e])) beyond_[s].push_back(e);
    }
  }

  // Parts that hang side by side need what each needs; a part as a whole may need more.
  double FloorFrom(size_t top) const {
    double side_by_side = 0;
    bool is_head = !shape_.stretches[top].before.has_value();
    if (!is_head) is_head = beyond_[*shape_.stretches[top].before].size() > beyond_[top].size();
    for (size_t s = top + 1; s < shape_.stretches.size(); ++s) {
      if (shape_.stretches[s].before == top && !beyond_[s].empty()) side_by_side += FloorFrom(s);
    }
    // Below a stretch that all ends beyond it share, asking from further up asks for no less.
    return is_head ? std::max(side_by_side, FloorOfPart(top)) : side_by_side;
  }

  double Floor() const {
    double sum = 0;
    for (size_t s = 0; s < shape_.stretches.size(); ++s) {
      if (!shape_.stretches[s].before && !beyond_[s].empty()) sum += FloorFrom(s);
    }
    return sum;
  }

 private:
  double FloorOfPart(size_t top) const {
    const std::vector<size_t>& ends = beyond_[top];
    double floor = 0;
    for (const size_t e : ends) {
      const size_t alone[] = {e};
      floor = std::max(floor, FloorOf(top, alone));
    }
    if (ends.size() == 1) return floor;
    // Ends with the shortest budgets together; one of a longer budget slackens all.
    std::vector<size_t> by_budget = ends;
    std::sort(by_budget.begin(), by_budget.end(),
              [this](size_t a, size_t b) { return shape_.ends[a].log_budget < shape_.ends[b].log_budget; });
    for (size_t count = 2; count <= by_budget.size(); ++count) {
      const bool next_is_as_short =
          count < by_budget.size() &&
          shape_.ends[by_budget[count]].log_budget == shape_.ends[by_budget[count - 1]].log_budget;
      if (!next_is_as_short) floor = std::max(floor, FloorOf(top, {by_budget.data(), count}));
    }
    return floor;
  }

  double FloorOf(size_t top, std::span<const size_t> ends) const {
    const std::vector<size_t> members = shape_.Below(top, ends);
    double least_loss = std::numeric_limits<double>::infinity();
    for (const size_t s : members) least_loss = std::min(least_loss, shape_.stretches[s].loss_per_s);
    if (!(least_loss > 0)) return 0;
    double budget = 0;
    for (const size_t e : ends) budget = std::max(budget, shape_.ends[e].log_budget);
    return FloorForCycle(MostDrawAhead(shape_, members), budget / least_loss, time_s_, factor_);
  }

  const TreeShape& shape_;
  std::span<const double> time_s_, factor_;
  std::vector<std::vector<size_t>> beyond_;  // of each stretch, the ends at or beyond it
};

}  // namespace

double ProvenTreeFloor_m3_per_s(const TreeShape& shape, std::span<const double> time_s,
                                std::span<const double> demand_factor) {
  return TreeFloors(shape, time_s, demand_factor).Floor();
}

TreeBound BoundOfTree(const std::vector<TreeReach>& reaches, std::vector<size_t> devices) {
  std::vector<double> hours_s(25);
  for (size_t hour = 0; hour <= 24; ++hour) hours_s[hour] = static_cast<double>(hour) * kSecondsPerHour;
  const double floor = ProvenTreeFloor_m3_per_s(ShapeOf(reaches), hours_s, kHouseholdHours);
  double beside_m3_per_s = 0;
  for (const TreeReach& reach : reaches) {
    for (const ReachModel::Beside& flow : reach.model.beside) beside_m3_per_s += flow.mean_m3_per_s;
  }
  return {std::max(0.0, floor - beside_m3_per_s) * kSecondsPerDay, BoundKind::kProven, std::move(devices)};
}

}  // namespace lastreach
