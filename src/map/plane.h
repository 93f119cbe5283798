#pragma once

#include <memory>
#include <vector>

#include "core/position.h"

namespace lastreach {

// Metres east and north of the middle of the map.
struct PlanePoint {
  double x_m = 0;
  double y_m = 0;
  friend bool operator==(const PlanePoint&, const PlanePoint&) = default;
};

// A map laid flat round its own middle, so that lengths are metres on the ground whatever the layers'
// coordinates were: a transverse Mercator projection on the WGS 84 ellipsoid with scale 1 on its meridian.
//
// ERROR: a length x km east or west of the middle comes out long by (x / 6378)^2 / 2: 3e-5 at 50 km, 2e-4 at
// 130 km. SOURCE: [Snyder1987] p. 57-63, series for the transverse Mercator; checked against a general
// projection library in the tests.
class Plane {
 public:
  explicit Plane(Position middle);
  static Plane Around(const std::vector<Position>& positions);  // the middle of their bounding box

  PlanePoint To(Position position) const;
  Position From(PlanePoint point) const;
  Position middle() const { return middle_; }

 private:
  Position middle_;
  double meridian_m_ = 0;  // from the equator to the middle
};

double Distance_m(PlanePoint a, PlanePoint b);

}  // namespace lastreach
