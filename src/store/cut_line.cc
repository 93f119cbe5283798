#include "store/cut_line.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace lastreach {
namespace {

Position Between(const Position& a, const Position& b, double share) {
  return {a.longitude_deg + share * (b.longitude_deg - a.longitude_deg),
          a.latitude_deg + share * (b.latitude_deg - a.latitude_deg)};
}

// Distances of the vertices from the start along the line, in degrees of latitude.
std::vector<double> DistancesAlong(const Line& line) {
  const double east = std::cos(line.front().latitude_deg * std::numbers::pi / 180);
  std::vector<double> along = {0};
  for (size_t i = 1; i < line.size(); ++i) {
    along.push_back(along.back() + std::hypot(east * (line[i].longitude_deg - line[i - 1].longitude_deg),
                                              line[i].latitude_deg - line[i - 1].latitude_deg));
  }
  return along;
}

}  // namespace

Line CutLine(const Line& line, double from, double to) {
  if (line.size() < 2) return {};
  const std::vector<double> along = DistancesAlong(line);
  const double first = std::clamp(std::min(from, to), 0.0, 1.0) * along.back();
  const double last = std::clamp(std::max(from, to), 0.0, 1.0) * along.back();
  if (!(first < last)) return {};
  Line part;
  const auto add = [&](const Position& position) {
    if (part.empty() || part.back() != position) part.push_back(position);
  };
  for (size_t i = 0; i + 1 < line.size(); ++i) {
    const double length = along[i + 1] - along[i];
    if (length <= 0 || along[i + 1] < first || along[i] > last) continue;
    add(first <= along[i] ? line[i] : Between(line[i], line[i + 1], (first - along[i]) / length));
    add(last >= along[i + 1] ? line[i + 1] : Between(line[i], line[i + 1], (last - along[i]) / length));
  }
  if (part.size() < 2) return {};
  if (from > to) std::reverse(part.begin(), part.end());
  return part;
}

}  // namespace lastreach
