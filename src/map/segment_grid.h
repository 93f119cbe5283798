#pragma once

#include <cstdint>
#include <span>
#include <unordered_map>
#include <vector>

#include "map/flat_lines.h"
#include "map/plane.h"

namespace lastreach {

// One segment of one line: from its point `first` to the next.
struct SegmentRef {
  uint32_t line = 0;
  uint32_t first = 0;
};

// Squares of the plane and the segments that touch each, so that what lies near a point is found without
// looking at the whole map.
// COST: building O(n), n segments and squares crossed; a question looks at the squares within its radius.
class SegmentGrid {
 public:
  SegmentGrid(const std::vector<FlatLine>& lines, double square_m);

  // Calls f(SegmentRef) for every segment that comes within radius_m of p, and for some that do not. A
  // segment that touches several squares may come several times.
  template <typename F>
  void Near(PlanePoint p, double radius_m, F&& f) const {
    const int64_t x_end = Square(p.x_m + radius_m);
    const int64_t y_end = Square(p.y_m + radius_m);
    for (int64_t x = Square(p.x_m - radius_m); x <= x_end; ++x) {
      for (int64_t y = Square(p.y_m - radius_m); y <= y_end; ++y) {
        for (const SegmentRef& segment : In(x, y)) f(segment);
      }
    }
  }

  // Calls f(squares' segments) for every square that has any.
  template <typename F>
  void ForEachSquare(F&& f) const {
    for (const auto& [key, place] : squares_) {
      f(key, std::span(segments_).subspan(place.first, place.count));
    }
  }

  int64_t Square(double metres) const;
  static uint64_t Key(int64_t x, int64_t y) {
    return (static_cast<uint64_t>(static_cast<uint32_t>(x)) << 32) | static_cast<uint32_t>(y);
  }

 private:
  struct Run {
    uint32_t first = 0;
    uint32_t count = 0;
  };
  std::span<const SegmentRef> In(int64_t x, int64_t y) const;

  double square_m_;
  std::vector<SegmentRef> segments_;  // square by square
  std::unordered_map<uint64_t, Run> squares_;
};

}  // namespace lastreach
