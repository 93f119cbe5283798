#include "map/flat_lines.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace lastreach {
namespace {

PlanePoint Between(PlanePoint a, PlanePoint b, double share) {
  return {a.x_m + share * (b.x_m - a.x_m), a.y_m + share * (b.y_m - a.y_m)};
}

// Index of the segment that holds a place; the last one for the line's end.
size_t SegmentAt(const FlatLine& line, double along_m) {
  const auto after = std::upper_bound(line.along_m.begin(), line.along_m.end(), along_m);
  const size_t next = static_cast<size_t>(after - line.along_m.begin());
  return std::clamp<size_t>(next, 1, line.points.size() - 1) - 1;
}

double GreatestOneWay_m(const std::vector<PlanePoint>& from, const std::vector<PlanePoint>& to) {
  double greatest = 0;
  for (const PlanePoint& p : from) {
    double nearest = std::numeric_limits<double>::infinity();
    for (size_t i = 1; i < to.size(); ++i) {
      nearest = std::min(nearest, NearestOnSegment(p, to[i - 1], to[i]).distance_m);
    }
    greatest = std::max(greatest, nearest);
  }
  return greatest;
}

}  // namespace

std::optional<FlatLine> Flatten(const DrawnMain& main, uint32_t index, const Plane& plane,
                                double same_point_m) {
  FlatLine line;
  line.main = index;
  double along_m = 0;
  PlanePoint before;
  for (size_t i = 0; i < main.line.size(); ++i) {
    const PlanePoint point = plane.To(main.line[i]);
    if (i > 0) along_m += Distance_m(before, point);
    before = point;
    const bool last = i + 1 == main.line.size();
    while (last && line.points.size() > 1 && Distance_m(line.points.back(), point) <= same_point_m) {
      line.points.pop_back();
      line.along_m.pop_back();
    }
    if (!line.points.empty() && !last && Distance_m(line.points.back(), point) <= same_point_m) continue;
    line.points.push_back(point);
    line.along_m.push_back(along_m);
  }
  if (line.points.size() < 2 || along_m <= same_point_m) return std::nullopt;
  return line;
}

PlanePoint PointAlong(const FlatLine& line, double along_m) {
  const size_t i = SegmentAt(line, along_m);
  const double whole = line.along_m[i + 1] - line.along_m[i];
  return Between(line.points[i], line.points[i + 1],
                 std::clamp((along_m - line.along_m[i]) / whole, 0.0, 1.0));
}

std::vector<PlanePoint> PieceOf(const FlatLine& line, double from_m, double to_m) {
  std::vector<PlanePoint> piece = {PointAlong(line, from_m)};
  const auto first = std::upper_bound(line.along_m.begin(), line.along_m.end(), from_m);
  for (auto at = first; at != line.along_m.end() && *at < to_m; ++at) {
    piece.push_back(line.points[static_cast<size_t>(at - line.along_m.begin())]);
  }
  piece.push_back(PointAlong(line, to_m));
  return piece;
}

OnSegment NearestOnSegment(PlanePoint p, PlanePoint a, PlanePoint b) {
  const double dx = b.x_m - a.x_m;
  const double dy = b.y_m - a.y_m;
  const double square = dx * dx + dy * dy;
  const double share =
      square > 0 ? std::clamp(((p.x_m - a.x_m) * dx + (p.y_m - a.y_m) * dy) / square, 0.0, 1.0) : 0;
  const PlanePoint at = Between(a, b, share);
  return {share, at, Distance_m(p, at)};
}

std::optional<SegmentCrossing> Cross(PlanePoint a, PlanePoint b, PlanePoint c, PlanePoint d) {
  const double rx = b.x_m - a.x_m;
  const double ry = b.y_m - a.y_m;
  const double sx = d.x_m - c.x_m;
  const double sy = d.y_m - c.y_m;
  const double area = rx * sy - ry * sx;
  if (area == 0) return std::nullopt;
  const double qx = c.x_m - a.x_m;
  const double qy = c.y_m - a.y_m;
  const double first = (qx * sy - qy * sx) / area;
  const double second = (qx * ry - qy * rx) / area;
  if (first < 0 || first > 1 || second < 0 || second > 1) return std::nullopt;
  return SegmentCrossing{first, second, Between(a, b, first)};
}

double GreatestDistance_m(const std::vector<PlanePoint>& one, const std::vector<PlanePoint>& other) {
  return std::max(GreatestOneWay_m(one, other), GreatestOneWay_m(other, one));
}

}  // namespace lastreach
