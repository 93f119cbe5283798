#pragma once

// Drawings in metres for the tests of this room, and what two networks must share to be the same.

#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include "map/join_up.h"
#include "map/plane.h"

namespace lastreach {

inline const Plane& TestPlane() {
  static const Plane plane({-99.9, 42.2});  // where nothing stands
  return plane;
}

inline DrawnMain MainOf(const std::string& key, const std::vector<PlanePoint>& points) {
  DrawnMain main;
  main.key = {"mains", key};
  for (const PlanePoint p : points) main.line.push_back(TestPlane().From(p));
  return main;
}

inline DrawnThing ThingAt(ThingKind kind, PlanePoint p, const std::string& key = "t") {
  DrawnThing thing;
  thing.key = {"things", key};
  thing.kind = kind;
  thing.at = TestPlane().From(p);
  return thing;
}

inline Drawing DrawingOf(std::vector<DrawnMain> mains) {
  Drawing drawing;
  drawing.mains = std::move(mains);
  return drawing;
}

// What does not depend on how the lines were cut or ordered: nodes that are no mere bends, sorted, and
// length.
struct Shape {
  std::vector<PlanePoint> ends;       // of one link
  std::vector<PlanePoint> junctions;  // of three and more
  double length_m = 0;
  int parts = 0;
};

inline Shape ShapeOf(const JoinedMap& map) {
  std::vector<int> degree(map.network.nodes.size(), 0);
  Shape shape;
  for (const Link& link : map.network.links) {
    ++degree[At(link.from)];
    ++degree[At(link.to)];
    shape.length_m += link.length_m.value;
  }
  for (size_t i = 0; i < degree.size(); ++i) {
    const PlanePoint p = TestPlane().To(*map.network.nodes[i].at);
    if (degree[i] == 1) shape.ends.push_back(p);
    if (degree[i] >= 3) shape.junctions.push_back(p);
  }
  shape.parts = map.summary.parts;
  return shape;
}

// Whether each point of one has one of the other within a hand's breadth, one to one.
inline bool SamePoints(std::vector<PlanePoint> one, std::vector<PlanePoint> other, double within_m) {
  if (one.size() != other.size()) return false;
  for (const PlanePoint p : one) {
    const auto nearest = std::min_element(other.begin(), other.end(), [&](PlanePoint a, PlanePoint b) {
      return Distance_m(p, a) < Distance_m(p, b);
    });
    if (Distance_m(p, *nearest) > within_m) return false;
    other.erase(nearest);
  }
  return true;
}

}  // namespace lastreach
