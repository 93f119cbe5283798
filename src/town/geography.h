#pragma once

#include <string>
#include <vector>

namespace lastreach {

// The invented town lies on open range, in metres east and north of its south-west corner. Nothing real
// stands there.
struct TownPoint {
  double x_m = 0;
  double y_m = 0;
};

// Degrees on WGS 84.
struct TownPosition {
  double latitude_deg = 0;
  double longitude_deg = 0;
};

inline constexpr double kTownWidth_m = 4600;
inline constexpr double kTownHeight_m = 5400;
inline constexpr TownPosition kTownCorner = {42.2300, -99.9300};  // south-west
inline constexpr const char* kTownZoneName = "America/Chicago";

// ERROR: against the ellipsoid, below 0.3 % of the distance from the corner; the town is invented, so only
// neighbourliness matters.
TownPosition PositionOf(TownPoint point);

// One pipe under a street, in the order of the street's line.
struct TownPipe {
  double length_m = 0;
  double diameter_in = 0;
};

// A street and the main under it. A through street is fed from both ends or the plant; a dead-end street
// starts at its tee on a through street and ends at the flush point `end_code`.
struct Street {
  std::string name;
  std::string supply_zone;
  std::vector<TownPoint> line;
  std::vector<TownPipe> pipes;  // lengths sum to the length of the line
  std::string end_code;         // empty for a through street
};

// All streets: the through streets, then one dead-end street for every device and hand-flushed end. No two
// lines cross or touch except at tees and corners.
std::vector<Street> Streets();

double LineLength_m(const std::vector<TownPoint>& line);

}  // namespace lastreach
