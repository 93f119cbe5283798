#include "map/map_index.h"

#include <algorithm>
#include <boost/geometry.hpp>
#include <boost/geometry/geometries/box.hpp>
#include <boost/geometry/geometries/point_xy.hpp>
#include <boost/geometry/index/rtree.hpp>
#include <cmath>
#include <iterator>
#include <limits>
#include <unordered_map>
#include <utility>

namespace lastreach {
namespace {

namespace bg = boost::geometry;
using Point = bg::model::d2::point_xy<double>;
using Box = bg::model::box<Point>;
using Entry = std::pair<Box, uint32_t>;        // of a segment, by its number
using NodeEntry = std::pair<Point, uint32_t>;  // of a node, by its index

struct Segment {
  LinkIndex link{};
  PlanePoint a;
  PlanePoint b;
  double from_m = 0;  // along the link
  double to_m = 0;
};

Box Around(const Segment& s, double margin_m) {
  return {Point(std::min(s.a.x_m, s.b.x_m) - margin_m, std::min(s.a.y_m, s.b.y_m) - margin_m),
          Point(std::max(s.a.x_m, s.b.x_m) + margin_m, std::max(s.a.y_m, s.b.y_m) + margin_m)};
}

NearMain HitOf(const Segment& s, PlanePoint p) {
  const ToSegment to = DistanceToSegment(p, s.a, s.b);
  const PlanePoint at{std::lerp(s.a.x_m, s.b.x_m, to.share), std::lerp(s.a.y_m, s.b.y_m, to.share)};
  return {s.link, std::lerp(s.from_m, s.to_m, to.share), to.distance_m, at, p};
}

// Twice the area of the triangle, signed: on which side of a-b the point lies.
double Turn(PlanePoint a, PlanePoint b, PlanePoint p) {
  return (b.x_m - a.x_m) * (p.y_m - a.y_m) - (b.y_m - a.y_m) * (p.x_m - a.x_m);
}

// Where two segments cross; none where they only touch.
std::optional<PlanePoint> Crossing(const Segment& s, const Segment& other) {
  const double a = Turn(s.a, s.b, other.a);
  const double b = Turn(s.a, s.b, other.b);
  if (!(a * b < 0) || !(Turn(other.a, other.b, s.a) * Turn(other.a, other.b, s.b) < 0)) return {};
  const double share = a / (a - b);
  return PlanePoint{std::lerp(other.a.x_m, other.b.x_m, share), std::lerp(other.a.y_m, other.b.y_m, share)};
}

// The place on `s` nearest to any place of `other`.
NearMain HitOf(const Segment& s, const Segment& other) {
  if (const auto crossing = Crossing(s, other)) return HitOf(s, *crossing);
  NearMain best = HitOf(s, other.a);
  const auto take = [&best](const NearMain& hit) {
    if (hit.distance_m < best.distance_m) best = hit;
  };
  take(HitOf(s, other.b));
  for (const bool at_a : {true, false}) {
    const PlanePoint end = at_a ? s.a : s.b;
    const NearMain on_other = HitOf(other, end);
    take({s.link, at_a ? s.from_m : s.to_m, on_other.distance_m, end, on_other.at});
  }
  return best;
}

}  // namespace

struct MapIndex::Impl {
  Impl(const Network& network, const std::function<bool(const Link&)>& taken) : plane(PlaneOf(network)) {
    first_segment.push_back(0);
    for (size_t i = 0; i < network.links.size(); ++i) {
      if (!taken || taken(network.links[i])) AddLink(network.links[i], LinkIndex(i));
      first_segment.push_back(segments.size());
    }
    std::vector<Entry> entries;
    for (size_t i = 0; i < segments.size(); ++i) {
      entries.emplace_back(Around(segments[i], 0), static_cast<uint32_t>(i));
    }
    tree = decltype(tree)(entries);
    std::vector<NodeEntry> at;
    for (size_t i = 0; i < network.nodes.size(); ++i) {
      if (!network.nodes[i].at) continue;
      const PlanePoint p = plane.To(*network.nodes[i].at);
      at.emplace_back(Point(p.x_m, p.y_m), static_cast<uint32_t>(i));
    }
    node_tree = decltype(node_tree)(at);
  }

  void AddLink(const Link& link, LinkIndex index) {
    double drawn_m = 0;
    const size_t first = segments.size();
    for (size_t k = 1; k < link.line.size(); ++k) {
      Segment s{index, plane.To(link.line[k - 1]), plane.To(link.line[k]), drawn_m, 0};
      drawn_m += Distance_m(s.a, s.b);
      s.to_m = drawn_m;
      segments.push_back(s);
    }
    if (drawn_m <= 0) return;
    for (size_t k = first; k < segments.size(); ++k) {
      segments[k].from_m *= link.length_m.value / drawn_m;
      segments[k].to_m *= link.length_m.value / drawn_m;
    }
  }

  Plane plane;
  std::vector<Segment> segments;
  std::vector<size_t> first_segment;  // of each link; size links + 1
  bg::index::rtree<Entry, bg::index::rstar<16>> tree;
  bg::index::rtree<NodeEntry, bg::index::rstar<16>> node_tree;
};

MapIndex::MapIndex(const Network& network, const std::function<bool(const Link&)>& taken)
    : impl_(std::make_unique<Impl>(network, taken)) {}
MapIndex::~MapIndex() = default;
MapIndex::MapIndex(MapIndex&&) noexcept = default;
MapIndex& MapIndex::operator=(MapIndex&&) noexcept = default;

const Plane& MapIndex::plane() const { return impl_->plane; }

std::vector<NearMain> MapIndex::MainsWithin(PlanePoint at, double reach_m, const Wanted& wanted) const {
  const Segment point{{}, at, at, 0, 0};
  std::vector<Entry> found;
  impl_->tree.query(bg::index::intersects(Around(point, reach_m)), std::back_inserter(found));
  std::vector<NearMain> mains;
  std::unordered_map<uint32_t, size_t> of_link;
  for (const Entry& entry : found) {
    const Segment& segment = impl_->segments[entry.second];
    if (wanted && !wanted(segment.link)) continue;
    const NearMain hit = HitOf(segment, at);
    if (hit.distance_m > reach_m) continue;
    const auto [place, is_new] = of_link.emplace(static_cast<uint32_t>(hit.link), mains.size());
    if (is_new) {
      mains.push_back(hit);
      continue;
    }
    // Of two segments that meet at the nearest place the earlier counts, so that the answer has one value.
    NearMain& best = mains[place->second];
    if (std::pair(hit.distance_m, hit.along_m) < std::pair(best.distance_m, best.along_m)) best = hit;
  }
  std::sort(mains.begin(), mains.end(), [](const NearMain& a, const NearMain& b) {
    return std::pair(a.distance_m, a.link) < std::pair(b.distance_m, b.link);
  });
  return mains;
}

std::vector<LinkIndex> MapIndex::PassedOver(PlanePoint from, PlanePoint to, double clear_m) const {
  const Segment line{{}, from, to, 0, 0};
  std::vector<Entry> found;
  impl_->tree.query(bg::index::intersects(Around(line, 0)), std::back_inserter(found));
  std::vector<LinkIndex> links;
  for (const Entry& entry : found) {
    const Segment& segment = impl_->segments[entry.second];
    const auto at = Crossing(segment, line);
    if (!at) continue;
    const PlanePoint& begin = impl_->segments[impl_->first_segment[At(segment.link)]].a;
    const PlanePoint& end = impl_->segments[impl_->first_segment[At(segment.link) + 1] - 1].b;
    const double to_end_m =
        std::min({Distance_m(*at, begin), Distance_m(*at, end), Distance_m(*at, from), Distance_m(*at, to)});
    if (to_end_m > clear_m) links.push_back(segment.link);
  }
  std::sort(links.begin(), links.end());
  links.erase(std::unique(links.begin(), links.end()), links.end());
  return links;
}

std::vector<NearNode> MapIndex::NodesWithin(PlanePoint at, double reach_m) const {
  const Segment point{{}, at, at, 0, 0};
  std::vector<NodeEntry> found;
  impl_->node_tree.query(bg::index::intersects(Around(point, reach_m)), std::back_inserter(found));
  std::vector<NearNode> nodes;
  for (const NodeEntry& entry : found) {
    const double distance_m = Distance_m({entry.first.x(), entry.first.y()}, at);
    if (distance_m <= reach_m) nodes.push_back({NodeIndex(entry.second), distance_m});
  }
  std::sort(nodes.begin(), nodes.end(), [](const NearNode& a, const NearNode& b) {
    return std::pair(a.distance_m, a.node) < std::pair(b.distance_m, b.node);
  });
  return nodes;
}

std::optional<NearMain> MapIndex::NearestMain(PlanePoint at, const Wanted& wanted) const {
  if (impl_->segments.empty()) return {};
  const auto all = impl_->tree.bounds();
  const double farthest_m =
      std::hypot(std::max(at.x_m - bg::get<0>(all.min_corner()), bg::get<0>(all.max_corner()) - at.x_m),
                 std::max(at.y_m - bg::get<1>(all.min_corner()), bg::get<1>(all.max_corner()) - at.y_m));
  // Wider and wider: most questions are answered by the first few segments.
  constexpr double kFirst_m = 40;
  constexpr double kWider = 4;
  for (double reach_m = kFirst_m;; reach_m *= kWider) {
    const std::vector<NearMain> mains = MainsWithin(at, reach_m, wanted);
    if (!mains.empty()) return mains.front();
    if (reach_m > farthest_m) return {};
  }
}

std::optional<NearMain> MapIndex::NearestMainTo(const std::vector<LinkIndex>& links,
                                                const Wanted& wanted) const {
  std::optional<NearMain> best;
  // From one place of each line first, so that the exact search has a small radius.
  for (const LinkIndex link : links) {
    for (size_t s = impl_->first_segment[At(link)]; s < impl_->first_segment[At(link) + 1]; ++s) {
      const Segment& mine = impl_->segments[s];
      if (!best) best = NearestMain(mine.a, wanted);
      if (!best) return {};
      std::vector<Entry> found;
      impl_->tree.query(bg::index::intersects(Around(mine, best->distance_m)), std::back_inserter(found));
      for (const Entry& entry : found) {
        const Segment& other = impl_->segments[entry.second];
        if (!wanted(other.link)) continue;
        const NearMain hit = HitOf(other, mine);
        if (hit.distance_m < best->distance_m) best = hit;
      }
    }
  }
  return best;
}

bool IsMain(const Link& link) { return link.kind == LinkKind::kPipe || link.kind == LinkKind::kCheck; }

Plane PlaneOf(const Network& network) {
  std::vector<Position> positions;
  for (const Node& node : network.nodes) {
    if (node.at) positions.push_back(*node.at);
  }
  for (const Link& link : network.links)
    positions.insert(positions.end(), link.line.begin(), link.line.end());
  return Plane::Around(positions);
}

ToSegment DistanceToSegment(PlanePoint at, PlanePoint from, PlanePoint to) {
  const double dx_m = to.x_m - from.x_m;
  const double dy_m = to.y_m - from.y_m;
  const double square = dx_m * dx_m + dy_m * dy_m;
  double share = 0;
  if (square > 0) {
    share = std::clamp(((at.x_m - from.x_m) * dx_m + (at.y_m - from.y_m) * dy_m) / square, 0.0, 1.0);
  }
  return {std::hypot(at.x_m - from.x_m - share * dx_m, at.y_m - from.y_m - share * dy_m), share};
}

double DistanceToLine_m(PlanePoint at, const std::vector<Position>& line, const Plane& plane) {
  double least_m = std::numeric_limits<double>::infinity();
  for (size_t i = 1; i < line.size(); ++i) {
    least_m = std::min(least_m, DistanceToSegment(at, plane.To(line[i - 1]), plane.To(line[i])).distance_m);
  }
  return least_m;
}

}  // namespace lastreach
