#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "map/plane.h"
#include "network/network.h"

namespace lastreach {

// The nearest place on one link.
struct NearMain {
  LinkIndex link{};
  double along_m = 0;     // from the link's `from` end, in the link's own length
  double distance_m = 0;  // on the ground
};

struct NearNode {
  NodeIndex node{};
  double distance_m = 0;
};

// What of a network lies near a place on the ground: the pipes and check valves that have a line, and the
// nodes that have a position. It keeps what the network was when it was made.
//
// COST: O(n log n) to make; a question O(log n + found).
class MapIndex {
 public:
  MapIndex(const Network& network, const Plane& plane);
  ~MapIndex();
  MapIndex(MapIndex&&) noexcept;

  // Within `reach_m`, nearest first; of equals the one that stands first in the network. Each link once.
  std::vector<NearMain> MainsWithin(PlanePoint at, double reach_m) const;
  std::vector<NearNode> NodesWithin(PlanePoint at, double reach_m) const;
  std::optional<NearMain> NearestMain(PlanePoint at) const;  // however far; none in an empty map

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

// The plane round every position the network has.
Plane PlaneOf(const Network& network);

// Metres from a point to the segment between two others, and how far along it the nearest place lies (0 to
// 1).
struct ToSegment {
  double distance_m = 0;
  double share = 0;
};
ToSegment DistanceToSegment(PlanePoint at, PlanePoint from, PlanePoint to);

// Metres from a point to a line of two or more.
double DistanceToLine_m(PlanePoint at, const std::vector<Position>& line, const Plane& plane);

}  // namespace lastreach
