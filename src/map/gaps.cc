#include "map/gaps.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace lastreach {
namespace {

struct Candidate {
  LinePlace place;
  PlanePoint at;
  double distance_m = 0;
};

// The nearest point of every segment round a free end, nearest first.
std::vector<Candidate> CandidatesNear(const Noding& noding, const SegmentGrid& grid, PlanePoint p,
                                      double look_m) {
  std::vector<Candidate> near;
  grid.Near(p, look_m, [&](SegmentRef segment) {
    const FlatLine& line = noding.lines()[segment.line];
    const OnSegment on = NearestOnSegment(p, line.points[segment.first], line.points[segment.first + 1]);
    if (on.distance_m > look_m) return;
    const double from_m = line.along_m[segment.first];
    const double along_m = from_m + on.share * (line.along_m[segment.first + 1] - from_m);
    near.push_back({{segment.line, along_m}, on.at, on.distance_m});
  });
  std::sort(near.begin(), near.end(), [](const Candidate& a, const Candidate& b) {
    return std::tuple(a.distance_m, a.at.x_m, a.at.y_m, a.place.line, a.place.along_m) <
           std::tuple(b.distance_m, b.at.x_m, b.at.y_m, b.place.line, b.place.along_m);
  });
  return near;
}

bool WorthClosing(double way_m, double gap_m) { return way_m > kWorthClosing * gap_m + kWorthClosing_m; }

// The way the line runs out at its end, over its last two metres.
PlanePoint Outward(const FlatLine& line, bool at_start) {
  const double back_m = std::min(2.0, line.length_m());
  const PlanePoint end = at_start ? line.points.front() : line.points.back();
  const PlanePoint inside = PointAlong(line, at_start ? back_m : line.length_m() - back_m);
  return {end.x_m - inside.x_m, end.y_m - inside.y_m};
}

double AngleBetween_deg(PlanePoint a, PlanePoint b) {
  const double size = std::hypot(a.x_m, a.y_m) * std::hypot(b.x_m, b.y_m);
  if (size == 0) return 0;
  const double cosine = std::clamp((a.x_m * b.x_m + a.y_m * b.y_m) / size, -1.0, 1.0);
  return std::acos(cosine) * 180 / 3.14159265358979323846;
}

// Whether the last stretch of the line, a little longer than the gap, crosses the other line.
bool RunsPast(const Noding& noding, const SegmentGrid& grid, const LinePlace& end, uint32_t other,
              double gap_m) {
  const FlatLine& line = noding.lines()[end.line];
  const double back_m = std::min(2 * gap_m + 0.1, line.length_m());
  const bool at_start = end.along_m <= 0;
  const PlanePoint tip = at_start ? line.points.front() : line.points.back();
  const PlanePoint inside = PointAlong(line, at_start ? back_m : line.length_m() - back_m);
  bool crosses = false;
  grid.Near(tip, back_m, [&](SegmentRef segment) {
    if (segment.line != other || crosses) return;
    const auto& points = noding.lines()[other].points;
    crosses = Cross(tip, inside, points[segment.first], points[segment.first + 1]).has_value();
  });
  return crosses;
}

// Two mains in one street often end side by side, at the same house.
bool AreSideBySide(const Noding& noding, const EndGap& gap, PlanePoint outward) {
  if (!gap.to_node || noding.Degree(*gap.to_node) != 1) return false;
  if (gap.aims_off_deg < 60 || gap.aims_off_deg > 120) return false;
  const LinePlace other = noding.PlacesOf(*gap.to_node).front();
  return AngleBetween_deg(outward, Outward(noding.lines()[other.line], other.along_m <= 0)) <= 30;
}

// The node of that line nearest to the place, where taking it instead costs little.
void PreferNode(const Noding& noding, PlanePoint from, EndGap& gap) {
  const auto cuts = noding.CutsOf(gap.to.line);
  for (const Noding::Cut& cut : cuts) {
    if (std::abs(cut.along_m - gap.to.along_m) > gap.gap_m + 0.1) continue;
    const PlanePoint at = PointAlong(noding.lines()[gap.to.line], cut.along_m);
    const double distance_m = Distance_m(from, at);
    const double least_m = gap.to_node ? gap.gap_m : 1.5 * gap.gap_m + 0.1;
    if (distance_m > least_m) continue;
    gap.to_node = noding.Root(cut.node);
    gap.to = {gap.to.line, cut.along_m};
    gap.to_at = at;
    gap.gap_m = distance_m;
  }
}

}  // namespace

std::optional<EndGap> FindGap(const Noding& noding, const SegmentGrid& grid, uint32_t node, double look_m) {
  const LinePlace end = noding.PlacesOf(node).front();
  const FlatLine& line = noding.lines()[end.line];
  const PlanePoint p = end.along_m <= 0 ? line.points.front() : line.points.back();
  const auto near = CandidatesNear(noding, grid, p, look_m);
  std::unordered_map<uint32_t, double> ways;
  for (const Candidate& candidate : near) {
    double way_m = std::numeric_limits<double>::infinity();
    if (ways.empty()) ways = noding.WaysFrom(node, kWorthClosing * look_m + kWorthClosing_m);
    way_m = noding.Way_m(ways, candidate.place);
    if (candidate.place.line == end.line) {
      way_m = std::min(way_m, std::abs(candidate.place.along_m - end.along_m));
    }
    if (!WorthClosing(way_m, candidate.distance_m)) continue;
    EndGap gap;
    gap.node = node;
    gap.from = p;
    gap.line = end.line;
    gap.to = candidate.place;
    gap.to_at = candidate.at;
    gap.gap_m = candidate.distance_m;
    gap.way_m = way_m;
    PreferNode(noding, p, gap);
    if (gap.to_node && *gap.to_node == noding.Root(node)) continue;
    gap.runs_past = gap.to.line != end.line && RunsPast(noding, grid, end, gap.to.line, candidate.distance_m);
    const PlanePoint outward = Outward(line, end.along_m <= 0);
    gap.aims_off_deg = AngleBetween_deg(outward, {gap.to_at.x_m - p.x_m, gap.to_at.y_m - p.y_m});
    gap.side_by_side = AreSideBySide(noding, gap, outward);
    return gap;
  }
  return std::nullopt;
}

std::vector<EndGap> FindGaps(const Noding& noding, const SegmentGrid& grid, double look_m) {
  std::vector<EndGap> gaps;
  for (uint32_t node = 0; node < noding.node_count(); ++node) {
    if (noding.Root(node) != node || noding.Degree(node) != 1) continue;
    if (auto gap = FindGap(noding, grid, node, look_m)) gaps.push_back(*gap);
  }
  return gaps;
}

}  // namespace lastreach
