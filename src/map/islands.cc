#include "map/islands.h"

#include <algorithm>
#include <optional>

namespace lastreach {
namespace {

std::optional<Nearness> NearestForeign(const Noding& noding, const SegmentGrid& grid,
                                       const std::vector<uint32_t>& parts, uint32_t line, uint32_t point,
                                       double reach_m) {
  const PlanePoint p = noding.lines()[line].points[point];
  std::optional<Nearness> nearest;
  grid.Near(p, reach_m, [&](SegmentRef segment) {
    if (parts[segment.line] == parts[line]) return;
    const FlatLine& other = noding.lines()[segment.line];
    const OnSegment on = NearestOnSegment(p, other.points[segment.first], other.points[segment.first + 1]);
    if (on.distance_m > reach_m) return;
    const auto rank = std::tuple(on.distance_m, on.at.x_m, on.at.y_m);
    if (nearest && rank >= std::tuple(nearest->gap_m, nearest->second_at.x_m, nearest->second_at.y_m)) return;
    const double from_m = other.along_m[segment.first];
    const double along_m = from_m + on.share * (other.along_m[segment.first + 1] - from_m);
    nearest = Nearness{
        {line, noding.lines()[line].along_m[point]}, p, {segment.line, along_m}, on.at, on.distance_m};
  });
  return nearest;
}

}  // namespace

std::vector<Nearness> NearIslands(const Noding& noding, const SegmentGrid& grid,
                                  const std::vector<uint32_t>& parts, const std::vector<bool>& fed,
                                  double reach_m) {
  // Squares of the map that any island comes near: only there is the other side worth asking.
  std::vector<Nearness> all;
  std::vector<bool> asked(noding.lines().size(), false);
  const auto ask = [&](uint32_t line) {
    if (asked[line]) return;
    asked[line] = true;
    for (uint32_t point = 0; point < noding.lines()[line].points.size(); ++point) {
      auto near = NearestForeign(noding, grid, parts, line, point, reach_m);
      if (!near) continue;
      if (fed[parts[line]]) {
        if (fed[parts[near->second.line]]) continue;
        std::swap(near->first, near->second);
        std::swap(near->first_at, near->second_at);
      }
      all.push_back(*near);
    }
  };
  for (uint32_t line = 0; line < noding.lines().size(); ++line) {
    if (fed[parts[line]]) continue;
    ask(line);
    const FlatLine& island = noding.lines()[line];
    // Other lines may come nearest with a point of theirs half-way along a long segment of ours.
    for (uint32_t i = 0; i + 1 < island.points.size(); ++i) {
      const PlanePoint a = island.points[i];
      const PlanePoint b = island.points[i + 1];
      const PlanePoint middle{(a.x_m + b.x_m) / 2, (a.y_m + b.y_m) / 2};
      grid.Near(middle, reach_m + Distance_m(a, b) / 2, [&](SegmentRef segment) { ask(segment.line); });
    }
  }
  std::sort(all.begin(), all.end(), [](const Nearness& a, const Nearness& b) {
    return std::tuple(a.gap_m, a.first_at.x_m, a.first_at.y_m) <
           std::tuple(b.gap_m, b.first_at.x_m, b.first_at.y_m);
  });
  return all;
}

}  // namespace lastreach
