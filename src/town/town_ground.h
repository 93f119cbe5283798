#pragma once

#include "town/geography.h"

namespace lastreach {

// Height of the ground above the town's datum: a plain that rises to the north, a step at the railway, low
// hills. Smooth and invented; such that water standing at the level of the plant or of the tank presses with
// 30 to 70 m on every street of its zone. Plain arithmetic only. [m]
double GroundAt_m(TownPoint point);

}  // namespace lastreach
