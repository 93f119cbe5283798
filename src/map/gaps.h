#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "map/noding.h"
#include "map/segment_grid.h"

namespace lastreach {

// A free end and the nearest other place it might belong to.
struct EndGap {
  uint32_t node = 0;  // of the free end
  PlanePoint from;    // where it is
  uint32_t line = 0;  // the line that ends here
  LinePlace to;       // on the other line, or farther along its own
  PlanePoint to_at;
  std::optional<uint32_t> to_node;  // where the place is a node already, or all but
  double gap_m = 0;                 // between `from` and `to_at`
  double aims_off_deg = 0;          // between the way the line runs and the way to the place, 0 to 180
  bool side_by_side =
      false;  // the other place is a free end too, beside this one, and its line runs the same way
  bool runs_past = false;  // the line crosses the other one just before its end
  double way_m = 0;        // along the lines as they are; infinite where there is none of interest
};

// How far round it must be from one side of a gap to the other for the gap to be worth closing. A short stub
// stands near the line it is joined to: closing that gap would make a loop of nothing.
//   way > kWorthClosing gap + kWorthClosing_m
inline constexpr double kWorthClosing = 5;
inline constexpr double kWorthClosing_m = 0.5;

// The nearest place within look_m of one free end that is worth closing as the lines are joined now.
std::optional<EndGap> FindGap(const Noding& noding, const SegmentGrid& grid, uint32_t node, double look_m);

// For every free end the nearest place within look_m that is worth closing, in no order. A node is taken
// before a place between nodes if it is not much farther.
// COST: a search round each free end; O(n) for a map of streets.
std::vector<EndGap> FindGaps(const Noding& noding, const SegmentGrid& grid, double look_m);

}  // namespace lastreach
