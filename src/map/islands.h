#pragma once

#include <cstdint>
#include <vector>

#include "map/noding.h"
#include "map/segment_grid.h"

namespace lastreach {

// A place where lines of two parts come near each other.
struct Nearness {
  LinePlace first;  // on a line of an island
  PlanePoint first_at;
  LinePlace second;  // on a line of another part
  PlanePoint second_at;
  double gap_m = 0;
};

// For every point of a line whose part is not fed, the nearest place on a line of another part within
// reach_m, and the same from the other parts' points to the island's lines; nearest first. Between two lines
// that do not cross the shortest way starts at a point of one of them, so the shortest is among these.
// `parts`: of each line. `fed`: of each part.
std::vector<Nearness> NearIslands(const Noding& noding, const SegmentGrid& grid,
                                  const std::vector<uint32_t>& parts, const std::vector<bool>& fed,
                                  double reach_m);

}  // namespace lastreach
