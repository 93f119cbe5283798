#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "map/plane.h"
#include "network/drawing.h"

namespace lastreach {

// One drawn main laid flat.
struct FlatLine {
  uint32_t main = 0;               // index into Drawing::mains
  std::vector<PlanePoint> points;  // two or more; neighbours farther apart than the arithmetic can blur
  std::vector<double> along_m;     // same size: of each point from the start, along the line
  double length_m() const { return along_m.back(); }
};

// The main on the plane, without points closer than `same_point_m` to the one before; the two ends stay.
// The length is that of the line as drawn. None if the whole line is no longer than that.
std::optional<FlatLine> Flatten(const DrawnMain& main, uint32_t index, const Plane& plane,
                                double same_point_m);

// The point that far along the line. REQUIRES: 0 <= along_m <= length.
PlanePoint PointAlong(const FlatLine& line, double along_m);

// The line between two places along it, both included, in the direction of the line.
std::vector<PlanePoint> PieceOf(const FlatLine& line, double from_m, double to_m);

// The point of the segment a-b nearest to p.
struct OnSegment {
  double share = 0;  // 0 at a, 1 at b
  PlanePoint at;
  double distance_m = 0;
};
OnSegment NearestOnSegment(PlanePoint p, PlanePoint a, PlanePoint b);

// Where two segments cross inside both, as shares of their lengths; none if they are parallel or miss.
struct SegmentCrossing {
  double first_share = 0;
  double second_share = 0;
  PlanePoint at;
};
std::optional<SegmentCrossing> Cross(PlanePoint a, PlanePoint b, PlanePoint c, PlanePoint d);

// Greatest distance from a point of either to the other line, at their points only: 0 for a line drawn twice,
// whatever its direction and extra points.
double GreatestDistance_m(const std::vector<PlanePoint>& one, const std::vector<PlanePoint>& other);

}  // namespace lastreach
