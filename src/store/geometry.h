#pragma once

#include <limits>
#include <optional>
#include <vector>

#include "core/position.h"
#include "core/result.h"
#include "store/database.h"

namespace lastreach {

// Geometries as GeoPackage stores them: an 8-byte header ("GP", version 0, flags, reference system 4326), for
// lines and polygons an envelope, and well-known binary, all little-endian.
// SOURCE: [OGC 12-128r17] clause 2.1.3; [OGC 06-103r4] clause 8.2.
using Line = std::vector<Position>;
using Polygon = std::vector<Line>;  // rings, the outer one first

Blob PointBlob(const Position& position);
Blob LineBlob(const Line& line);                      // REQUIRES: two points or more
Blob LinesBlob(const std::vector<Line>& lines);       // REQUIRES: the same of each, and at least one
Blob AreaBlob(const std::vector<Polygon>& polygons);  // REQUIRES: each ring four points or more

// Each reads either byte order, skips an envelope, and drops heights and measures, since another program may
// have moved the feature.
// ERROR: kBadInput if it is another kind of geometry. Of an empty one: none, or an empty list.
Result<std::optional<Position>> ReadPointBlob(const Blob& bytes);
Result<Line> ReadLineBlob(const Blob& bytes);
Result<std::vector<Polygon>> ReadAreaBlob(const Blob& bytes);

// The box round positions; empty until it has grown.
struct Extent {
  double min_longitude_deg = std::numeric_limits<double>::infinity();
  double min_latitude_deg = std::numeric_limits<double>::infinity();
  double max_longitude_deg = -std::numeric_limits<double>::infinity();
  double max_latitude_deg = -std::numeric_limits<double>::infinity();
  bool empty() const { return min_longitude_deg > max_longitude_deg; }
  void Grow(const Position& position);
  friend bool operator==(const Extent&, const Extent&) = default;
};

// Of any geometry up to multi-polygons. ERROR: kBadInput if it is none.
Result<Extent> ReadExtent(const Blob& bytes);

}  // namespace lastreach
