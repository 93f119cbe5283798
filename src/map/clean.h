#pragma once

#include <vector>

#include "map/flat_lines.h"
#include "network/drawing.h"

namespace lastreach {

// The lines of a drawing that take part, and those that do not with the reason.
struct CleanLines {
  Plane plane{Position{}};
  std::vector<FlatLine> lines;  // in order of the drawing
  std::vector<SetAside> set_aside;
};

// Sets aside lines out of use or of other water; lines of no length; lines far away from all others (more
// than 20 km and ten times as far from the middle of the map as nine tenths of the length is); and lines
// drawn twice, of which the one that tells more stays.
CleanLines Clean(const Drawing& drawing, double same_point_m);

}  // namespace lastreach
