#pragma once

namespace lastreach {

// Degrees on WGS 84.
struct Position {
  double longitude_deg = 0;
  double latitude_deg = 0;
  friend bool operator==(const Position&, const Position&) = default;
};

}  // namespace lastreach
