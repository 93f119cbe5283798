#include "map/noding.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <queue>

namespace lastreach {

Noding::Noding(std::vector<FlatLine> lines, const SegmentGrid& grid, double same_point_m)
    : lines_(std::move(lines)), same_point_m_(same_point_m), cuts_(lines_.size()) {
  for (uint32_t i = 0; i < lines_.size(); ++i) {
    AddNode(i, 0, lines_[i].points.front());
    AddNode(i, lines_[i].length_m(), lines_[i].points.back());
  }
  JoinEqualPoints();
  JoinEndsOnLines(grid);
}

uint32_t Noding::AddNode(uint32_t line, double along_m, PlanePoint at) {
  const auto node = static_cast<uint32_t>(parent_.size());
  parent_.push_back(node);
  at_.push_back(at);
  places_.push_back({{line, along_m}});
  auto& cuts = cuts_[line];
  const auto before = [](const Cut& cut, double along) { return cut.along_m < along; };
  cuts.insert(std::lower_bound(cuts.begin(), cuts.end(), along_m, before), {along_m, node});
  return node;
}

uint32_t Noding::NodeAt(uint32_t line, double along_m) {
  const auto& cuts = cuts_[line];
  const auto before = [](const Cut& cut, double along) { return cut.along_m < along; };
  auto after = std::lower_bound(cuts.begin(), cuts.end(), along_m, before);
  if (after == cuts.end()) --after;
  const Cut* nearest = &*after;
  if (after != cuts.begin()) {
    const Cut& left = *std::prev(after);
    if (std::abs(left.along_m - along_m) < std::abs(nearest->along_m - along_m)) nearest = &left;
  }
  if (std::abs(nearest->along_m - along_m) <= same_point_m_) return Root(nearest->node);
  return AddNode(line, along_m, PointAlong(lines_[line], along_m));
}

uint32_t Noding::Root(uint32_t node) const {
  while (parent_[node] != node) {
    parent_[node] = parent_[parent_[node]];
    node = parent_[node];
  }
  return node;
}

void Noding::Merge(uint32_t a, uint32_t b) {
  a = Root(a);
  b = Root(b);
  if (a == b) return;
  // The one with more lines stays where it is; of equals the one farther west, then south, so that the
  // order in which lines came does not matter.
  const auto stays = [&](uint32_t n) {
    return std::tuple(-static_cast<int>(places_[n].size()), at_[n].x_m, at_[n].y_m);
  };
  if (stays(b) < stays(a)) std::swap(a, b);
  parent_[b] = a;
  places_[a].insert(places_[a].end(), places_[b].begin(), places_[b].end());
  std::vector<LinePlace>().swap(places_[b]);
}

int Noding::Degree(uint32_t node) const {
  int degree = 0;
  for (const LinePlace& place : PlacesOf(node)) {
    const double length_m = lines_[place.line].length_m();
    degree += place.along_m <= 0 || place.along_m >= length_m ? 1 : 2;
  }
  return degree;
}

void Noding::JoinEqualPoints() {
  struct Vertex {
    uint64_t square;
    uint32_t line;
    uint32_t point;
  };
  // Squares so wide that a partner mostly stands in the same one; the others are asked only near the edge.
  const double square_m = 100 * same_point_m_;
  const auto square = [&](double metres) { return static_cast<int64_t>(std::floor(metres / square_m)); };
  std::vector<Vertex> vertices;
  for (uint32_t i = 0; i < lines_.size(); ++i) {
    for (uint32_t j = 0; j < lines_[i].points.size(); ++j) {
      const PlanePoint p = lines_[i].points[j];
      vertices.push_back({SegmentGrid::Key(square(p.x_m), square(p.y_m)), i, j});
    }
  }
  std::sort(vertices.begin(), vertices.end(),
            [](const Vertex& a, const Vertex& b) { return a.square < b.square; });
  const auto point = [&](const Vertex& v) { return lines_[v.line].points[v.point]; };
  const auto try_square = [&](const Vertex& v, int64_t x, int64_t y) {
    const uint64_t key = SegmentGrid::Key(x, y);
    auto at = std::lower_bound(vertices.begin(), vertices.end(), key,
                               [](const Vertex& a, uint64_t k) { return a.square < k; });
    for (; at != vertices.end() && at->square == key; ++at) {
      if (at->line < v.line || (at->line == v.line && at->point <= v.point + 1)) continue;
      if (Distance_m(point(v), point(*at)) > same_point_m_) continue;
      const uint32_t one = NodeAt(v.line, lines_[v.line].along_m[v.point]);
      Merge(one, NodeAt(at->line, lines_[at->line].along_m[at->point]));
    }
  };
  for (const Vertex& v : vertices) {
    const PlanePoint p = point(v);
    for (int64_t x = square(p.x_m - same_point_m_); x <= square(p.x_m + same_point_m_); ++x) {
      for (int64_t y = square(p.y_m - same_point_m_); y <= square(p.y_m + same_point_m_); ++y) {
        try_square(v, x, y);
      }
    }
  }
}

void Noding::JoinEndsOnLines(const SegmentGrid& grid) {
  const auto nodes = static_cast<uint32_t>(node_count());
  for (uint32_t node = 0; node < nodes; ++node) {
    if (Root(node) != node) continue;
    const PlanePoint p = at_[node];
    std::vector<LinePlace> touched;
    grid.Near(p, same_point_m_, [&](SegmentRef segment) {
      const FlatLine& line = lines_[segment.line];
      const OnSegment on = NearestOnSegment(p, line.points[segment.first], line.points[segment.first + 1]);
      if (on.distance_m > same_point_m_) return;
      const double from_m = line.along_m[segment.first];
      touched.push_back({segment.line, from_m + on.share * (line.along_m[segment.first + 1] - from_m)});
    });
    for (const LinePlace& place : touched) {
      const bool its_own =
          std::any_of(places_[Root(node)].begin(), places_[Root(node)].end(), [&](const LinePlace& own) {
            return own.line == place.line && std::abs(own.along_m - place.along_m) <= 2 * same_point_m_;
          });
      if (!its_own) Merge(node, NodeAt(place.line, place.along_m));
    }
  }
}

std::unordered_map<uint32_t, double> Noding::WaysFrom(uint32_t node, double most_m) const {
  std::unordered_map<uint32_t, double> ways;
  using Entry = std::pair<double, uint32_t>;
  std::priority_queue<Entry, std::vector<Entry>, std::greater<>> queue;
  queue.emplace(0, Root(node));
  while (!queue.empty()) {
    const auto [way_m, at] = queue.top();
    queue.pop();
    if (!ways.emplace(at, way_m).second) continue;
    for (const LinePlace& place : places_[at]) {
      const auto& cuts = cuts_[place.line];
      const auto here = std::lower_bound(cuts.begin(), cuts.end(), place.along_m,
                                         [](const Cut& cut, double along) { return cut.along_m < along; });
      const auto go = [&](const Cut& cut) {
        const double there_m = way_m + std::abs(cut.along_m - place.along_m);
        if (there_m <= most_m && !ways.contains(Root(cut.node))) queue.emplace(there_m, Root(cut.node));
      };
      if (here != cuts.begin()) go(*std::prev(here));
      if (here != cuts.end() && std::next(here) != cuts.end()) go(*std::next(here));
    }
  }
  return ways;
}

double Noding::Way_m(const std::unordered_map<uint32_t, double>& ways, LinePlace place) const {
  double least_m = std::numeric_limits<double>::infinity();
  const auto& cuts = cuts_[place.line];
  const auto after = std::lower_bound(cuts.begin(), cuts.end(), place.along_m,
                                      [](const Cut& cut, double along) { return cut.along_m < along; });
  const auto by = [&](const Cut& cut) {
    const auto found = ways.find(Root(cut.node));
    if (found != ways.end())
      least_m = std::min(least_m, found->second + std::abs(cut.along_m - place.along_m));
  };
  if (after != cuts.end()) by(*after);
  if (after != cuts.begin()) by(*std::prev(after));
  return least_m;
}

std::vector<uint32_t> Noding::Parts() const {
  std::vector<uint32_t> up(lines_.size());
  for (uint32_t i = 0; i < up.size(); ++i) up[i] = i;
  const auto root = [&](uint32_t i) {
    while (up[i] != i) i = up[i] = up[up[i]];
    return i;
  };
  for (uint32_t node = 0; node < node_count(); ++node) {
    if (Root(node) != node) continue;
    for (const LinePlace& place : places_[node]) {
      const uint32_t a = root(places_[node].front().line);
      const uint32_t b = root(place.line);
      up[std::max(a, b)] = std::min(a, b);
    }
  }
  std::vector<uint32_t> part(lines_.size());
  uint32_t parts = 0;
  for (uint32_t i = 0; i < up.size(); ++i) part[i] = root(i) == i ? parts++ : part[root(i)];
  return part;
}

}  // namespace lastreach
