#pragma once

#include <cstddef>
#include <vector>

#include "core/result.h"

namespace lastreach {

// A stretch of main between two taps. Water enters at the upstream end and its tap draws at the downstream
// end.
struct BranchSegment {
  double length_m = 0;
  double diameter_m = 0;           // inner
  double tap_demand_m3_per_s = 0;  // average draw of the tap at the downstream end, 0 for none
  double bulk_per_s = 0;           // first-order loss in the water, at the temperature planned for [1/s]
  double wall_m_per_s = 0;         // first-order loss at the wall [m/s]

  double volume_m3() const;  // pi d^2 L / 4
};

// Segments in order from the well-fed main (the root) to the end. Segment j carries the draws of taps j, j+1,
// ... and the flow of the device at the end.
struct Branch {
  std::vector<BranchSegment> segments;
};

// Water that leaves the branch on its way by something other than its taps: another branch with a device of
// its own. It leaves at the downstream end of a segment, so that segments 0 to `segment` carry it.
struct SideDraw {
  std::size_t segment = 0;
  std::vector<double> flow_m3_per_s;  // size steps, >= 0
};

// What moves the water and what comes in, constant over each step i, [time_s[i], time_s[i + 1]).
struct BranchDrive {
  std::vector<double> time_s;             // size steps + 1, strictly increasing
  std::vector<double> demand_factor;      // size steps, >= 0: multiplies every tap's average draw
  std::vector<double> end_flow_m3_per_s;  // size steps, >= 0: the device
  std::vector<double> bulk_factor{};      // size steps or empty (= 1): temperature through the day
  std::vector<double> root_mg_per_l;      // size steps + 1, linear between: residual of the water entering
  double initial_mg_per_l = 0;            // of the water in the branch at time_s[0]; 0 is the cautious value
  std::vector<SideDraw> side_draws{};     // in any order; several may leave at one place

  std::size_t steps() const { return demand_factor.size(); }
};

// Whether the transport functions may be called with these: at least one segment, lengths and diameters above
// 0, everything else 0 or more, sizes and times as said above. ERROR: kBadInput naming the segment (from 1)
// or step (from 0) and the value.
Status CheckBranch(const Branch& branch);
Status CheckDrive(const BranchDrive& drive);
// The same, and that every side draw leaves at a segment of this branch.
Status CheckDrive(const BranchDrive& drive, const Branch& branch);

}  // namespace lastreach
