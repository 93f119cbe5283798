#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "core/position.h"
#include "store/database.h"

namespace lastreach {

// Numbers of the kinds of geometry. SOURCE: [OGC 06-103r4] table 7.
enum class WkbType : uint32_t { kPoint = 1, kLine = 2, kPolygon = 3, kPoints = 4, kLines = 5, kPolygons = 6 };

// Any of them as a list of parts, each a list of lists of positions: a point is one part of one list of one
// position, a line one part of one list, a polygon one part of its rings; the others have a part for each
// member.
struct WkbShape {
  WkbType type = WkbType::kPoint;
  std::vector<std::vector<std::vector<Position>>> parts;
};

// Reads a GeoPackage geometry in either byte order, past any envelope, without heights and measures. None if
// the bytes are not one, or end too soon; bytes of any sort are safe to give.
std::optional<WkbShape> ReadShape(const Blob& bytes);

}  // namespace lastreach
