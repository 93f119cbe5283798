#pragma once

#include <string>
#include <vector>

#include "town/street_plan.h"

namespace lastreach {

// A quarter of the town: a rectangle of open ground between through streets, and the grid of streets it would
// have if nothing stood in the way. The first and last line of each direction are its borders.
struct District {
  const char* zone;
  std::vector<double> x_m;  // streets that run south to north
  std::vector<double> y_m;  // streets that run west to east
  double swirl;             // how far the grid's middle is turned: 0 straight, 0.3 curved
  double thin_x;            // share of pieces of the x streets to leave out, where the grid stays whole
  double thin_y;            // the same of the y streets
  double lot_m;
  int year_laid;
  const char* material;
  // A street from corner to corner of the cells: starts at x_m[diagonal_x], y_m[diagonal_y] and runs east
  // over `diagonal_cells` cells, north (1) or south (-1). None if 0.
  int diagonal_x = 0;
  int diagonal_y = 0;
  int diagonal_cells = 0;
  int diagonal_way = 1;
};

const std::vector<District>& Districts();

// The streets of a district that can be laid: clear of every street in `laid` by kClear_m but where they meet
// a through street, out of parks and ponds, thinned, without loose ends.
std::vector<PlannedStreet> StreetsOf(const District& district, const std::vector<PlannedStreet>& laid,
                                     uint64_t seed);

// No two streets run closer than this, but for the few metres round a joint. [m]
inline constexpr double kClear_m = 30;

}  // namespace lastreach
