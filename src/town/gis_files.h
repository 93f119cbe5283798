#pragma once

#include <cstdint>
#include <string>
#include <variant>
#include <vector>

#include "core/result.h"

namespace lastreach {

// Layers as files, by GDAL. Coordinates are given as degrees on WGS 84 and laid out in the wanted system.

enum class GisFormat { kShapefile, kGeoPackage, kGeoJson };
enum class GisField { kText, kWhole, kNumber };

using GisValue = std::variant<std::monostate, std::string, int64_t, double>;  // monostate is an empty cell
struct GisPoint {
  double longitude_deg = 0;
  double latitude_deg = 0;
};
using GisLine = std::vector<GisPoint>;

enum class GisShape { kPoint, kLine, kPolygon };
struct GisFeature {
  std::vector<GisLine> parts;  // one point; one line or more; the outer ring
  std::vector<GisValue> values;
};

struct GisLayer {
  std::string name;  // of the layer and, without its ending, of the file
  GisShape shape = GisShape::kPoint;
  int epsg = 4326;
  std::vector<std::pair<std::string, GisField>> fields;
  std::vector<GisFeature> features;
};

// The same content every time; the day of writing is nowhere in it.
// ERROR: kBadInput naming the file if it cannot be written.
Status WriteGisLayer(const std::string& path, GisFormat format, const GisLayer& layer);

// Heights on a square grid, row 0 in the north. REQUIRES: size of metres = width x height.
struct GisGrid {
  int epsg = 32614;
  double west_m = 0;
  double north_m = 0;
  double cell_m = 0;
  int width = 0;
  int height = 0;
  std::vector<float> metres;
};
Status WriteGisGrid(const std::string& path, const GisGrid& grid);

// One way or the other between WGS 84 and the system, x east and y north.
GisPoint ToSystem(int epsg, GisPoint degrees);
GisPoint FromSystem(int epsg, GisPoint metres_or_feet);

}  // namespace lastreach
