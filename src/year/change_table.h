#pragma once

#include <cstddef>
#include <limits>
#include <vector>

namespace lastreach {

// In place of water where settings may not stand.
inline constexpr double kMayNotStand = std::numeric_limits<double>::infinity();

// What one device may be keyed to through a year that comes round again: candidates for its settings, and
// what each uses in each part.
struct ChangeTable {
  // [candidate][part] water over the whole part [m3], or kMayNotStand: it does not hold there.
  std::vector<std::vector<double>> water_m3;
  // [part] what it costs to begin that part with other settings than the one before: 1, or 0 where somebody
  // is there anyway.
  std::vector<int> visits_to_change;

  size_t parts() const { return visits_to_change.size(); }
};

// One candidate for each part, the year coming round: the last part is followed by the first.
struct ChangeSchedule {
  std::vector<size_t> candidate;  // [part]; empty if there is none
  double water_m3 = kMayNotStand;
  int visits = 0;   // sum of visits_to_change where the candidate changes
  int changes = 0;  // parts that begin with another candidate than the one before

  bool exists() const { return !candidate.empty(); }
};

// [v] the schedule with the least water that takes at most v visits a year, and of those with as little the
// one with fewer changes; v from 0 to the sum of visits_to_change. A year kept on one candidate takes none.
//
// Exact: over every assignment of candidates to parts, by dynamic programming around the year once for each
// candidate of the first part. COST: parts x candidates^3 x visits steps, some milliseconds.
std::vector<ChangeSchedule> LeastWaterByVisits(const ChangeTable& table);

// The least water with at most so many changes, whether somebody is there anyway or not; where so few will
// not do, with as few as will.
ChangeSchedule LeastWaterByChanges(const ChangeTable& table, int most_changes);

// The same schedule with its sums worked out from the table.
ChangeSchedule Summed(const ChangeTable& table, std::vector<size_t> candidate);

}  // namespace lastreach
