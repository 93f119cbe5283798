#pragma once

#include <span>
#include <vector>

#include "plan/device_plan.h"
#include "plan/tree_shape.h"

namespace lastreach {

// The least water a day that the devices of one tree can do with together.
struct TreeBound {
  double m3_per_day = 0;
  BoundKind kind = BoundKind::kProven;
  std::vector<size_t> devices;  // places in the list the tree is of
};

// A floor for the mean flow of all devices of a tree together [m3/s], whatever their schedules, where demand
// follows the cycle for ever. PROVEN (docs/theory/planning.md): water that entered after some moment must
// have reached every end within its time budget T; it gains on what is ahead of it by no more than the
// devices' flow and the draw still ahead of it, which is never above that of MostDrawAhead; so all of a tree
// is one reach of its volume with that draw, and the floors of one reach hold for it. The same for every part
// of a tree that hangs at one place, for some of its ends only, and for the sum of parts that hang side by
// side: the best of these is taken. Budgets differ: some ends count with the longest budget among them.
//
// REQUIRES: every log_budget > 0; time_s ascending, size demand_factor.size() + 1.
// COST: some milliseconds for each edge of a demand line, in all some tenths of a second for a few devices.
double ProvenTreeFloor_m3_per_s(const TreeShape& shape, std::span<const double> time_s,
                                std::span<const double> demand_factor);

// The same over the household day, as a bound on plans. Devices beside that are not of the tree (ReachModel::
// beside) are taken off, once for each reach they stand at.
TreeBound BoundOfTree(const std::vector<TreeReach>& reaches, std::vector<size_t> devices);

}  // namespace lastreach
