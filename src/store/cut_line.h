#pragma once

#include "store/geometry.h"

namespace lastreach {

// The part of a line between two shares of its length (0 its start, 1 its end), walked from `from` to `to`:
// backwards where `from` is greater. Empty where the part, or the line, has no length.
//
// Shares are of the length on the ground, with a degree of longitude taken as cos(latitude) of one of
// latitude at the line's start. ERROR: of the place of a cut, on a line of 1 km at 60 degrees below 1e-4 of
// the length: enough to draw it.
Line CutLine(const Line& line, double from, double to);

}  // namespace lastreach
