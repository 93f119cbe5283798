#pragma once

#include <cstdint>
#include <initializer_list>
#include <unordered_map>
#include <vector>

#include "map/plane.h"
#include "network/drawing.h"

namespace lastreach {

// What stands near a place of the map: evidence for or against a joint.
class ThingsNear {
 public:
  ThingsNear(const std::vector<DrawnThing>& things, const Plane& plane);

  // Whether one of the kinds stands within radius_m, at most 50 m.
  bool Any(PlanePoint p, double radius_m, std::initializer_list<ThingKind> kinds) const;

 private:
  struct Standing {
    PlanePoint at;
    ThingKind kind;
  };
  std::unordered_map<uint64_t, std::vector<Standing>> squares_;
};

}  // namespace lastreach
