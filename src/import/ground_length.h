#pragma once

#include <vector>

#include "core/position.h"

namespace lastreach {

// Length of a line on the ground [m]: each piece flat, with the two radii of the WGS 84 ellipsoid at its
// middle. ERROR: below 1e-6 of the length for pieces up to 10 km, away from the poles. SOURCE: [Snyder1987]
// p. 24-25, radii of curvature; WGS 84 a = 6378137 m, 1/f = 298.257223563.
double GroundLength_m(const std::vector<Position>& line);

}  // namespace lastreach
