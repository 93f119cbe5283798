#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "core/position.h"
#include "core/result.h"

class OGRGeometry;
class OGRSpatialReference;

namespace lastreach {

enum class ShapeKind { kNone, kPoint, kLine, kArea };
std::string_view ToText(ShapeKind kind);  // "nothing", "point", "line", "area"

// Where one feature is, in WGS 84 degrees. Heights and measures are dropped; curves are drawn with short
// straight pieces.
struct Shape {
  ShapeKind kind = ShapeKind::kNone;
  // One or more parts. A part of a point or a line is one list of positions; a part of an area is its rings,
  // the outer one first.
  std::vector<std::vector<std::vector<Position>>> parts;
  std::string fault;  // why kind is kNone: "it has no geometry"
};

// The parts of a geometry with its coordinates as they are, x for longitude. Of a collection of several
// kinds the one of the highest dimension is kept. None or an empty geometry makes a Shape with a fault.
Shape ShapeOf(const OGRGeometry* geometry);

// The same of a text such as "LINESTRING (0 0, 1 1)". An "SRID=2278;" before it is put in `crs` as
// "EPSG:2278". SOURCE: [OGC06-103r4] clause 7, well-known text.
Shape ShapeOfText(std::string_view text, std::string& crs);

// The middle of an area's first part: the centroid of its outer ring, or the mean of its points where it has
// no area. A part of a line or point has its own rules (layer_features.h).
// REQUIRES: kind == kArea.
Position MiddleOf(const Shape& area);

}  // namespace lastreach
