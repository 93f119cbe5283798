#pragma once

#include <span>
#include <vector>

namespace lastreach {

// The draw at and beyond a place of a branch, by the volume between that place and the end.
struct DemandCorner {
  double volume_m3 = 0;  // from the end
  double demand_m3_per_s = 0;
};

// The lowest concave broken line on or above the corners, from the first volume to the last. Corners ascend
// in volume.
std::vector<DemandCorner> ConcaveMajorant(std::span<const DemandCorner> corners);

// A floor for the mean flow at the end [m3/s] that holds for every schedule when all demand follows the cycle
// and water must reach the end within `budget_s` of entering. The argument is in steady_bound.h; `above` is
// concave. REQUIRES: budget_s > 0; above from 0 to the branch's volume; time_s ascending, size
// demand_factor.size() + 1.
double FloorForCycle(std::span<const DemandCorner> above, double budget_s, std::span<const double> time_s,
                     std::span<const double> demand_factor);

}  // namespace lastreach
