#pragma once

#include "app/import_layer.h"

namespace lastreach {

// Puts a raster of heights in the project, cropped to its mains where it has any: to the middle 99 % of their
// points and half as much again on each side, so that a stray line in another county does not count.
// ERROR: as ReadElevation.
Result<int> ImportElevation(Project& project, const LayerRequest& request, Surroundings& around);

}  // namespace lastreach
