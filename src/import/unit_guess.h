#pragma once

#include "import/mapping.h"

namespace lastreach {

// Fills in the unit of each column of a measure that has none yet, with the reason:
//   1. every cell that holds a number has a unit of its own: nothing to guess;
//   2. only one unit is in use in the trade: mg/L;
//   3. the middle value: pipe widths up to 36 look like inches, from 40 on like millimetres; water above 40
//   is
//      in degrees F, up to 30 in degrees C; flows of 20 and more look like gpm if nothing else tells;
//   4. the family of units that the other columns are in.
// The bounds are common practice, no source.
// ERROR: kBadInput for a length or a volume that nothing tells, naming the heading.
Status GuessUnits(const Table& table, Preview& preview);

}  // namespace lastreach
