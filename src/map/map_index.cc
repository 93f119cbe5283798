#include "map/map_index.h"

#include <algorithm>
#include <boost/geometry.hpp>
#include <boost/geometry/index/rtree.hpp>
#include <cmath>
#include <iterator>
#include <limits>
#include <unordered_map>

namespace lastreach {
namespace {

namespace bg = boost::geometry;
namespace bgi = boost::geometry::index;
using BoostPoint = bg::model::point<double, 2, bg::cs::cartesian>;
using Box = bg::model::box<BoostPoint>;

struct Segment {
  LinkIndex link{};
  PlanePoint from, to;
  double from_along_m = 0;  // in the link's own length
  double to_along_m = 0;
};

Box Around(PlanePoint at, double reach_m) {
  return {{at.x_m - reach_m, at.y_m - reach_m}, {at.x_m + reach_m, at.y_m + reach_m}};
}

NearMain NearOn(const Segment& segment, PlanePoint at) {
  const ToSegment to = DistanceToSegment(at, segment.from, segment.to);
  return {segment.link, std::lerp(segment.from_along_m, segment.to_along_m, to.share), to.distance_m};
}

bool Nearer(const NearMain& a, const NearMain& b) {
  return std::pair(a.distance_m, a.link) < std::pair(b.distance_m, b.link);
}

}  // namespace

struct MapIndex::Impl {
  std::vector<Segment> segments;
  bgi::rtree<std::pair<Box, uint32_t>, bgi::rstar<16>> segment_tree;
  bgi::rtree<std::pair<BoostPoint, uint32_t>, bgi::rstar<16>> node_tree;
};

MapIndex::MapIndex(const Network& network, const Plane& plane) : impl_(std::make_unique<Impl>()) {
  std::vector<std::pair<Box, uint32_t>> boxes;
  for (size_t i = 0; i < network.links.size(); ++i) {
    const Link& link = network.links[i];
    if (link.line.size() < 2 || (link.kind != LinkKind::kPipe && link.kind != LinkKind::kCheck)) continue;
    std::vector<PlanePoint> points;
    std::vector<double> along_m{0};
    for (const Position& position : link.line) {
      points.push_back(plane.To(position));
      if (points.size() > 1) {
        along_m.push_back(along_m.back() + Distance_m(points[points.size() - 2], points.back()));
      }
    }
    // The length may be another than the line's, if a tape measured it.
    const double stretch = along_m.back() > 0 ? link.length_m.value / along_m.back() : 0;
    for (size_t k = 1; k < points.size(); ++k) {
      const PlanePoint a = points[k - 1];
      const PlanePoint b = points[k];
      boxes.emplace_back(Box{{std::min(a.x_m, b.x_m), std::min(a.y_m, b.y_m)},
                             {std::max(a.x_m, b.x_m), std::max(a.y_m, b.y_m)}},
                         static_cast<uint32_t>(impl_->segments.size()));
      impl_->segments.push_back(
          {static_cast<LinkIndex>(i), a, b, along_m[k - 1] * stretch, along_m[k] * stretch});
    }
  }
  impl_->segment_tree = decltype(impl_->segment_tree)(boxes);
  std::vector<std::pair<BoostPoint, uint32_t>> points;
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    if (!network.nodes[i].at) continue;
    const PlanePoint at = plane.To(*network.nodes[i].at);
    points.emplace_back(BoostPoint{at.x_m, at.y_m}, static_cast<uint32_t>(i));
  }
  impl_->node_tree = decltype(impl_->node_tree)(points);
}

MapIndex::~MapIndex() = default;
MapIndex::MapIndex(MapIndex&&) noexcept = default;

std::vector<NearMain> MapIndex::MainsWithin(PlanePoint at, double reach_m) const {
  std::unordered_map<uint32_t, NearMain> best;
  const auto& tree = impl_->segment_tree;
  for (auto it = tree.qbegin(bgi::intersects(Around(at, reach_m))); it != tree.qend(); ++it) {
    const NearMain near = NearOn(impl_->segments[it->second], at);
    if (near.distance_m > reach_m) continue;
    const auto [found, is_new] = best.emplace(static_cast<uint32_t>(near.link), near);
    // Of two segments that meet at the nearest place the earlier counts, so that the answer has one value.
    if (!is_new && std::pair(near.distance_m, near.along_m) <
                       std::pair(found->second.distance_m, found->second.along_m)) {
      found->second = near;
    }
  }
  std::vector<NearMain> mains;
  for (const auto& [link, near] : best) mains.push_back(near);
  std::sort(mains.begin(), mains.end(), Nearer);
  return mains;
}

std::vector<NearNode> MapIndex::NodesWithin(PlanePoint at, double reach_m) const {
  std::vector<NearNode> nodes;
  const auto& tree = impl_->node_tree;
  for (auto it = tree.qbegin(bgi::intersects(Around(at, reach_m))); it != tree.qend(); ++it) {
    const double distance_m = std::hypot(it->first.get<0>() - at.x_m, it->first.get<1>() - at.y_m);
    if (distance_m <= reach_m) nodes.push_back({static_cast<NodeIndex>(it->second), distance_m});
  }
  std::sort(nodes.begin(), nodes.end(), [](const NearNode& a, const NearNode& b) {
    return std::pair(a.distance_m, a.node) < std::pair(b.distance_m, b.node);
  });
  return nodes;
}

std::optional<NearMain> MapIndex::NearestMain(PlanePoint at) const {
  std::vector<std::pair<Box, uint32_t>> nearest_box;
  impl_->segment_tree.query(bgi::nearest(BoostPoint{at.x_m, at.y_m}, 1U), std::back_inserter(nearest_box));
  if (nearest_box.empty()) return {};
  // The line in the nearest box bounds the distance; a nearer one may cross a box that is farther.
  const NearMain bound = NearOn(impl_->segments[nearest_box.front().second], at);
  const std::vector<NearMain> mains = MainsWithin(at, bound.distance_m);
  return mains.empty() ? bound : mains.front();
}

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
