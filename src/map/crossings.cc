#include "map/crossings.h"

#include <algorithm>
#include <cmath>

namespace lastreach {
namespace {

// A point of a line this near to a crossing was put there on purpose.
constexpr double kVertexNear_m = 0.1;

double Along(const FlatLine& line, uint32_t segment, double share) {
  const double from_m = line.along_m[segment];
  return from_m + share * (line.along_m[segment + 1] - from_m);
}

// Whether one node stands on both lines within clear_m of the two places.
bool JoinedNear(const Noding& noding, LinePlace first, LinePlace second, double clear_m) {
  for (const Noding::Cut& a : noding.CutsOf(first.line)) {
    if (std::abs(a.along_m - first.along_m) > clear_m) continue;
    for (const Noding::Cut& b : noding.CutsOf(second.line)) {
      if (std::abs(b.along_m - second.along_m) > clear_m) continue;
      if (noding.Root(a.node) == noding.Root(b.node)) return true;
    }
  }
  return false;
}

bool HasVertexAt(const FlatLine& line, uint32_t segment, PlanePoint at) {
  return Distance_m(line.points[segment], at) <= kVertexNear_m ||
         Distance_m(line.points[segment + 1], at) <= kVertexNear_m;
}

class Finder {
 public:
  Finder(const Noding& noding, const SegmentGrid& grid, double clear_m)
      : noding_(noding), grid_(grid), clear_m_(clear_m) {}

  std::vector<LineCrossing> All() {
    grid_.ForEachSquare([&](uint64_t key, std::span<const SegmentRef> segments) {
      for (size_t i = 0; i < segments.size(); ++i) {
        for (size_t j = i + 1; j < segments.size(); ++j) TryPair(key, segments[i], segments[j]);
      }
    });
    AddTouchingPoints();
    return WithoutRepeats();
  }

 private:
  void TryPair(uint64_t key, SegmentRef one, SegmentRef other) {
    if (std::pair(other.line, other.first) < std::pair(one.line, one.first)) std::swap(one, other);
    if (one.line == other.line && other.first <= one.first + 1) return;
    const FlatLine& a = noding_.lines()[one.line];
    const FlatLine& b = noding_.lines()[other.line];
    const auto cross =
        Cross(a.points[one.first], a.points[one.first + 1], b.points[other.first], b.points[other.first + 1]);
    if (!cross) return;
    // Two segments may share several squares; the one that holds the crossing speaks.
    if (SegmentGrid::Key(grid_.Square(cross->at.x_m), grid_.Square(cross->at.y_m)) != key) return;
    Add({one.line, Along(a, one.first, cross->first_share)},
        {other.line, Along(b, other.first, cross->second_share)}, cross->at,
        HasVertexAt(a, one.first, cross->at) || HasVertexAt(b, other.first, cross->at));
  }

  // A point of one line on the other, where rounding may hide the crossing.
  void AddTouchingPoints() {
    const double same_m = noding_.same_point_m();
    for (uint32_t i = 0; i < noding_.lines().size(); ++i) {
      const FlatLine& line = noding_.lines()[i];
      for (uint32_t j = 1; j + 1 < line.points.size(); ++j) {
        const PlanePoint p = line.points[j];
        grid_.Near(p, same_m, [&](SegmentRef segment) {
          if (segment.line == i) return;
          const FlatLine& other = noding_.lines()[segment.line];
          const OnSegment on =
              NearestOnSegment(p, other.points[segment.first], other.points[segment.first + 1]);
          if (on.distance_m > same_m) return;
          LinePlace a{i, line.along_m[j]};
          LinePlace b{segment.line, Along(other, segment.first, on.share)};
          if (b.line < a.line) std::swap(a, b);
          Add(a, b, p, true);
        });
      }
    }
  }

  void Add(LinePlace first, LinePlace second, PlanePoint at, bool vertex) {
    if (JoinedNear(noding_, first, second, clear_m_)) return;
    found_.push_back({first, second, at, vertex});
  }

  std::vector<LineCrossing> WithoutRepeats() {
    std::sort(found_.begin(), found_.end(), [](const LineCrossing& a, const LineCrossing& b) {
      return std::tuple(a.first.line, a.second.line, a.first.along_m, a.second.along_m) <
             std::tuple(b.first.line, b.second.line, b.first.along_m, b.second.along_m);
    });
    std::vector<LineCrossing> once;
    for (const LineCrossing& crossing : found_) {
      const bool repeat = !once.empty() && once.back().first.line == crossing.first.line &&
                          once.back().second.line == crossing.second.line &&
                          Distance_m(once.back().at, crossing.at) <= 2 * kVertexNear_m;
      if (repeat) {
        once.back().vertex = once.back().vertex || crossing.vertex;
      } else {
        once.push_back(crossing);
      }
    }
    std::sort(once.begin(), once.end(), [](const LineCrossing& a, const LineCrossing& b) {
      return std::pair(a.at.x_m, a.at.y_m) < std::pair(b.at.x_m, b.at.y_m);
    });
    return once;
  }

  const Noding& noding_;
  const SegmentGrid& grid_;
  double clear_m_;
  std::vector<LineCrossing> found_;
};

}  // namespace

std::vector<LineCrossing> FindCrossings(const Noding& noding, const SegmentGrid& grid, double clear_m) {
  return Finder(noding, grid, clear_m).All();
}

}  // namespace lastreach
