#pragma once

#include <string>
#include <vector>

#include "core/result.h"
#include "import/shape.h"

namespace lastreach {

// Takes shapes from their own coordinates to WGS 84 degrees, all at once, and returns the name of the
// coordinate system they were in. What goes before what: `given` ("EPSG:2278", or any definition a
// projection library understands), then `own`; without either, coordinates that mostly lie within 180 and
// 90 are taken as degrees, with a note. A shape that has no place in WGS 84 becomes one with a fault.
// ERROR: kBadRequest if `given` is not understood; kBadInput, naming `file`, if nothing tells, or if most
// shapes do not lie on the Earth.
// COST: a few microseconds a point.
Result<std::string> ToDegrees(const std::string& file, const OGRSpatialReference* own,
                              const std::string& given, std::vector<Shape>& shapes,
                              std::vector<std::string>& notes);

}  // namespace lastreach
