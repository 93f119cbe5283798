#include "ends/along.h"

#include <algorithm>

#include "map/plane.h"

namespace lastreach {

std::optional<Position> PositionAlong(const Link& link, double along_m) {
  if (link.line.empty()) return {};
  const Plane plane(link.line.front());
  std::vector<PlanePoint> points;
  double drawn_m = 0;
  for (const Position& position : link.line) {
    points.push_back(plane.To(position));
    if (points.size() > 1) drawn_m += Distance_m(points[points.size() - 2], points.back());
  }
  double left_m = link.length_m.value > 0 ? along_m / link.length_m.value * drawn_m : 0;
  for (size_t k = 1; k < points.size(); ++k) {
    const double part_m = Distance_m(points[k - 1], points[k]);
    if (left_m <= part_m && part_m > 0) {
      const double share = std::max(0.0, left_m / part_m);
      return plane.From({points[k - 1].x_m + share * (points[k].x_m - points[k - 1].x_m),
                         points[k - 1].y_m + share * (points[k].y_m - points[k - 1].y_m)});
    }
    left_m -= part_m;
  }
  return link.line.back();
}

}  // namespace lastreach
