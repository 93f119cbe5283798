#pragma once

#include <vector>

#include "map/noding.h"
#include "map/segment_grid.h"

namespace lastreach {

// Two lines that pass over each other without a common node.
struct LineCrossing {
  LinePlace first;  // of the line with the lower number
  LinePlace second;
  PlanePoint at;
  bool vertex = false;  // a point of one of the lines stands there
};

// Every place where two lines cross or a point of one stands on the other, and neither has a node within
// `clear_m` that stands on both: joints that are there already, and ends that run a little past the line
// they belong to, are no crossings. A line that crosses itself counts too. In order of place.
// COST: pairs of segments of one square of the grid.
std::vector<LineCrossing> FindCrossings(const Noding& noding, const SegmentGrid& grid, double clear_m);

}  // namespace lastreach
