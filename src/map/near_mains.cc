#include "map/near_mains.h"

#include <algorithm>
#include <boost/geometry.hpp>
#include <boost/geometry/geometries/box.hpp>
#include <boost/geometry/geometries/point_xy.hpp>
#include <boost/geometry/index/rtree.hpp>
#include <cmath>
#include <iterator>
#include <unordered_map>
#include <utility>

namespace lastreach {
namespace {

namespace bg = boost::geometry;
using Point = bg::model::d2::point_xy<double>;
using Box = bg::model::box<Point>;
using Entry = std::pair<Box, uint32_t>;  // of a segment, by its number

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

// Share of the way from a to b where the segment is nearest to `p`.
double ShareNearest(const Segment& s, PlanePoint p) {
  const double dx = s.b.x_m - s.a.x_m;
  const double dy = s.b.y_m - s.a.y_m;
  const double square = dx * dx + dy * dy;
  if (square <= 0) return 0;
  return std::clamp(((p.x_m - s.a.x_m) * dx + (p.y_m - s.a.y_m) * dy) / square, 0.0, 1.0);
}

PlaceOnMain HitOf(const Segment& s, PlanePoint p) {
  const double share = ShareNearest(s, p);
  const PlanePoint at{s.a.x_m + share * (s.b.x_m - s.a.x_m), s.a.y_m + share * (s.b.y_m - s.a.y_m)};
  return {s.link, s.from_m + share * (s.to_m - s.from_m), Distance_m(at, p), at, p};
}

// Twice the area of the triangle, signed: on which side of a-b the point lies.
double Turn(PlanePoint a, PlanePoint b, PlanePoint p) {
  return (b.x_m - a.x_m) * (p.y_m - a.y_m) - (b.y_m - a.y_m) * (p.x_m - a.x_m);
}

// The place on `s` nearest to any place of `other`.
PlaceOnMain HitOf(const Segment& s, const Segment& other) {
  const double a = Turn(s.a, s.b, other.a);
  const double b = Turn(s.a, s.b, other.b);
  if (a * b < 0 && Turn(other.a, other.b, s.a) * Turn(other.a, other.b, s.b) < 0) {
    const double share = a / (a - b);
    return HitOf(s, PlanePoint{other.a.x_m + share * (other.b.x_m - other.a.x_m),
                               other.a.y_m + share * (other.b.y_m - other.a.y_m)});
  }
  PlaceOnMain best = HitOf(s, other.a);
  const auto take = [&best](const PlaceOnMain& hit) {
    if (hit.distance_m < best.distance_m) best = hit;
  };
  take(HitOf(s, other.b));
  for (const bool at_a : {true, false}) {
    const PlanePoint end = at_a ? s.a : s.b;
    const PlaceOnMain on_other = HitOf(other, end);
    take({s.link, at_a ? s.from_m : s.to_m, on_other.distance_m, end, on_other.at});
  }
  return best;
}

std::vector<Position> AllPositions(const Network& network) {
  std::vector<Position> all;
  for (const Link& link : network.links) all.insert(all.end(), link.line.begin(), link.line.end());
  for (const Node& node : network.nodes) {
    if (node.at) all.push_back(*node.at);
  }
  return all;
}

}  // namespace

struct NearMains::Index {
  explicit Index(const Network& network) : plane(Plane::Around(AllPositions(network))) {
    first_segment.push_back(0);
    for (size_t i = 0; i < network.links.size(); ++i) {
      AddLink(network.links[i], LinkIndex(i));
      first_segment.push_back(segments.size());
    }
    std::vector<Entry> entries;
    for (size_t i = 0; i < segments.size(); ++i) {
      entries.emplace_back(Around(segments[i], 0), static_cast<uint32_t>(i));
    }
    tree = decltype(tree)(entries.begin(), entries.end());
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
};

NearMains::NearMains(const Network& network) : index_(std::make_unique<Index>(network)) {}
NearMains::~NearMains() = default;
NearMains::NearMains(NearMains&&) noexcept = default;
NearMains& NearMains::operator=(NearMains&&) noexcept = default;

const Plane& NearMains::plane() const { return index_->plane; }

std::vector<PlaceOnMain> NearMains::Within(PlanePoint place, double radius_m, const Wanted& wanted) const {
  const Segment point{{}, place, place, 0, 0};
  std::vector<Entry> found;
  index_->tree.query(bg::index::intersects(Around(point, radius_m)), std::back_inserter(found));
  std::vector<PlaceOnMain> hits;
  std::unordered_map<uint32_t, size_t> of_link;
  for (const Entry& entry : found) {
    const Segment& segment = index_->segments[entry.second];
    if (wanted && !wanted(segment.link)) continue;
    const PlaceOnMain hit = HitOf(segment, place);
    if (hit.distance_m > radius_m) continue;
    const auto [at, is_new] = of_link.emplace(static_cast<uint32_t>(hit.link), hits.size());
    if (is_new) {
      hits.push_back(hit);
    } else if (hit.distance_m < hits[at->second].distance_m) {
      hits[at->second] = hit;
    }
  }
  std::sort(hits.begin(), hits.end(), [](const PlaceOnMain& a, const PlaceOnMain& b) {
    return std::make_pair(a.distance_m, a.link) < std::make_pair(b.distance_m, b.link);
  });
  return hits;
}

std::optional<PlaceOnMain> NearMains::Nearest(PlanePoint place, const Wanted& wanted) const {
  if (index_->segments.empty()) return {};
  const auto all = index_->tree.bounds();
  const double farthest_m = std::hypot(
      std::max(place.x_m - bg::get<0>(all.min_corner()), bg::get<0>(all.max_corner()) - place.x_m),
      std::max(place.y_m - bg::get<1>(all.min_corner()), bg::get<1>(all.max_corner()) - place.y_m));
  // Wider and wider: most questions are answered by the first few segments.
  constexpr double kFirst_m = 40;
  constexpr double kWider = 4;
  for (double radius_m = kFirst_m;; radius_m *= kWider) {
    const std::vector<PlaceOnMain> hits = Within(place, radius_m, wanted);
    if (!hits.empty()) return hits.front();
    if (radius_m > farthest_m) return {};
  }
}

std::optional<PlaceOnMain> NearMains::NearestTo(const std::vector<LinkIndex>& links,
                                                const Wanted& wanted) const {
  std::optional<PlaceOnMain> best;
  // From one place of each line first, so that the exact search has a small radius.
  for (const LinkIndex link : links) {
    for (size_t s = index_->first_segment[At(link)]; s < index_->first_segment[At(link) + 1]; ++s) {
      const Segment& mine = index_->segments[s];
      if (!best) best = Nearest(mine.a, wanted);
      if (!best) return {};
      std::vector<Entry> found;
      index_->tree.query(bg::index::intersects(Around(mine, best->distance_m)), std::back_inserter(found));
      for (const Entry& entry : found) {
        const Segment& other = index_->segments[entry.second];
        if (!wanted(other.link)) continue;
        const PlaceOnMain hit = HitOf(other, mine);
        if (hit.distance_m < best->distance_m) best = hit;
      }
    }
  }
  return best;
}

}  // namespace lastreach
