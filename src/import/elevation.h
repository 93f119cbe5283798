#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/position.h"
#include "core/result.h"
#include "network/drawing.h"

namespace lastreach {

enum class HeightUnit { kMetre, kFoot, kSurveyFoot };

// "m", "ft" (the foot of 0.3048 m), "survey ft" (1200/3937 m), and their like. ERROR: kBadRequest.
Result<HeightUnit> ParseHeightUnit(std::string_view text);

// Degrees; west < east, south < north.
struct Box {
  Position south_west;
  Position north_east;
};

struct ElevationOptions {
  std::optional<Box> around;       // keeps this and 500 m beyond. DEFAULT: the whole raster
  std::optional<HeightUnit> unit;  // goes before what the raster says
  std::string crs;                 // the same: "EPSG:2278"
};

struct ImportedElevation {
  ElevationGrid grid;
  std::string crs;                 // its name
  size_t known = 0;                // cells with a height
  double least_m = 0, most_m = 0;  // over those
  std::vector<std::string> notes;  // unit, crop, share of cells without a height
};

// The most cells a grid may have.
inline constexpr double kMostCells = 60e6;

// Reads the first band of any raster of ground heights, with its scale, offset and no-data value, which
// becomes NaN. The unit is that of the band, else of the vertical coordinate system, else metres, with a
// note.
// ERROR: kNotFound if there is no such file; kBadInput if it is no raster, is not placed on the Earth, does
// not reach `around`, or has more than kMostCells cells; kBadRequest for `crs`.
// COST: 4 bytes a cell kept.
Result<ImportedElevation> ReadElevation(const std::string& path, const ElevationOptions& options = {});

}  // namespace lastreach
