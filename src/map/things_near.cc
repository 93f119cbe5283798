#include "map/things_near.h"

#include <algorithm>
#include <cmath>

#include "map/segment_grid.h"

namespace lastreach {
namespace {

constexpr double kSquare_m = 50;

int64_t Square(double metres) { return static_cast<int64_t>(std::floor(metres / kSquare_m)); }

}  // namespace

ThingsNear::ThingsNear(const std::vector<DrawnThing>& things, const Plane& plane) {
  for (const DrawnThing& thing : things) {
    const PlanePoint at = plane.To(thing.at);
    squares_[SegmentGrid::Key(Square(at.x_m), Square(at.y_m))].push_back({at, thing.kind});
  }
}

bool ThingsNear::Any(PlanePoint p, double radius_m, std::initializer_list<ThingKind> kinds) const {
  for (int64_t x = Square(p.x_m - radius_m); x <= Square(p.x_m + radius_m); ++x) {
    for (int64_t y = Square(p.y_m - radius_m); y <= Square(p.y_m + radius_m); ++y) {
      const auto found = squares_.find(SegmentGrid::Key(x, y));
      if (found == squares_.end()) continue;
      for (const Standing& standing : found->second) {
        if (Distance_m(standing.at, p) > radius_m) continue;
        if (std::find(kinds.begin(), kinds.end(), standing.kind) != kinds.end()) return true;
      }
    }
  }
  return false;
}

}  // namespace lastreach
