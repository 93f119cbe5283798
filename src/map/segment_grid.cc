#include "map/segment_grid.h"

#include <algorithm>
#include <cmath>

namespace lastreach {
namespace {

// Calls f(x, y) for every square a segment touches, column by column.
template <typename F>
void ForSquaresOf(PlanePoint a, PlanePoint b, double square_m, F&& f) {
  if (a.x_m > b.x_m) std::swap(a, b);
  const auto square = [&](double metres) { return static_cast<int64_t>(std::floor(metres / square_m)); };
  // A hair wider than the segment, so that rounding never leaves out a square it only touches.
  const double hair_m = 1e-6 * square_m;
  const int64_t last = square(b.x_m + hair_m);
  for (int64_t x = square(a.x_m - hair_m); x <= last; ++x) {
    double y_from = a.y_m;
    double y_to = b.y_m;
    if (b.x_m > a.x_m) {
      const auto y_at = [&](double x_m) {
        return a.y_m + std::clamp((x_m - a.x_m) / (b.x_m - a.x_m), 0.0, 1.0) * (b.y_m - a.y_m);
      };
      y_from = y_at(static_cast<double>(x) * square_m);
      y_to = y_at(static_cast<double>(x + 1) * square_m);
    }
    const int64_t y_last = square(std::max(y_from, y_to) + hair_m);
    for (int64_t y = square(std::min(y_from, y_to) - hair_m); y <= y_last; ++y) f(x, y);
  }
}

}  // namespace

SegmentGrid::SegmentGrid(const std::vector<FlatLine>& lines, double square_m) : square_m_(square_m) {
  const auto for_all = [&](auto&& f) {
    for (uint32_t line = 0; line < lines.size(); ++line) {
      const auto& points = lines[line].points;
      for (uint32_t i = 0; i + 1 < points.size(); ++i) {
        ForSquaresOf(points[i], points[i + 1], square_m, [&](int64_t x, int64_t y) {
          f(Key(x, y), SegmentRef{line, i});
        });
      }
    }
  };
  for_all([&](uint64_t key, SegmentRef) { ++squares_[key].count; });
  uint32_t first = 0;
  for (auto& [key, run] : squares_) {
    run.first = first;
    first += run.count;
    run.count = 0;
  }
  segments_.resize(first);
  for_all([&](uint64_t key, SegmentRef segment) {
    Run& run = squares_[key];
    segments_[run.first + run.count++] = segment;
  });
}

int64_t SegmentGrid::Square(double metres) const {
  return static_cast<int64_t>(std::floor(metres / square_m_));
}

std::span<const SegmentRef> SegmentGrid::In(int64_t x, int64_t y) const {
  const auto found = squares_.find(Key(x, y));
  if (found == squares_.end()) return {};
  return std::span(segments_).subspan(found->second.first, found->second.count);
}

}  // namespace lastreach
