#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <vector>

#include "map/plane.h"
#include "network/network.h"

namespace lastreach {

// The place on a link that is nearest to something.
struct NearMain {
  LinkIndex link{};
  double along_m = 0;     // from the link's `from` end, in the link's own length
  double distance_m = 0;  // on the ground
  PlanePoint at;          // on the link
  PlanePoint from_at;     // on what was asked about
};

struct NearNode {
  NodeIndex node{};
  double distance_m = 0;
};

// What of a network lies near a place on the ground: the links that have a line, and the nodes that have a
// position. It keeps what the network was when it was made.
//
// COST: O(n log n) to make, n vertices; a question O(log n + found).
class MapIndex {
 public:
  using Wanted = std::function<bool(LinkIndex)>;  // none: every link

  // Only links that `taken` says yes to are in it; none: all.
  explicit MapIndex(const Network& network, const std::function<bool(const Link&)>& taken = {});
  ~MapIndex();
  MapIndex(MapIndex&&) noexcept;
  MapIndex& operator=(MapIndex&&) noexcept;

  // Every wanted link within reach_m, once, at its nearest place; the nearest first, of equals the one that
  // stands first in the network.
  std::vector<NearMain> MainsWithin(PlanePoint at, double reach_m, const Wanted& wanted = {}) const;
  // However far; none where no link is wanted.
  std::optional<NearMain> NearestMain(PlanePoint at, const Wanted& wanted = {}) const;
  // The nearest wanted link to any place of the lines of `links`; none where there is none. Crossing lines
  // are 0 m apart.
  std::optional<NearMain> NearestMainTo(const std::vector<LinkIndex>& links, const Wanted& wanted) const;
  // Every link that the straight line from one point to another passes over, once, in order. Not those it
  // meets within clear_m of one of their own ends, or of its own.
  std::vector<LinkIndex> PassedOver(PlanePoint from, PlanePoint to, double clear_m) const;
  std::vector<NearNode> NodesWithin(PlanePoint at, double reach_m) const;

  const Plane& plane() const;  // of all places: PlaneOf the network

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

// Whether customers and things may hang on it: a pipe or a check valve.
bool IsMain(const Link& link);

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
