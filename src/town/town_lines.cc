#include "town/town_lines.h"

#include <algorithm>
#include <cmath>

namespace lastreach {
namespace {

double Cross(TownPoint a, TownPoint b) { return a.x_m * b.y_m - a.y_m * b.x_m; }
double Dot(TownPoint a, TownPoint b) { return a.x_m * b.x_m + a.y_m * b.y_m; }

// Where on the stretch a to b, from 0 to 1, the nearest point to `point` lies.
double Share(TownPoint point, TownPoint a, TownPoint b) {
  const TownPoint along = b - a;
  const double square = Dot(along, along);
  return square > 0 ? std::clamp(Dot(point - a, along) / square, 0.0, 1.0) : 0;
}

double ToStretch_m(TownPoint point, TownPoint a, TownPoint b) {
  return Distance_m(point, a + Share(point, a, b) * (b - a));
}

}  // namespace

TownPoint operator+(TownPoint a, TownPoint b) { return {a.x_m + b.x_m, a.y_m + b.y_m}; }
TownPoint operator-(TownPoint a, TownPoint b) { return {a.x_m - b.x_m, a.y_m - b.y_m}; }
TownPoint operator*(double factor, TownPoint a) { return {factor * a.x_m, factor * a.y_m}; }
TownPoint LeftOf(TownPoint direction) { return {-direction.y_m, direction.x_m}; }

double Length_m(TownPoint a) { return std::sqrt(Dot(a, a)); }
double Distance_m(TownPoint a, TownPoint b) { return Length_m(b - a); }

double Distance_m(TownPoint point, const std::vector<TownPoint>& line) {
  double least_m = Distance_m(point, line.front());
  for (size_t i = 1; i < line.size(); ++i)
    least_m = std::min(least_m, ToStretch_m(point, line[i - 1], line[i]));
  return least_m;
}

double Distance_m(const std::vector<TownPoint>& a, const std::vector<TownPoint>& b) {
  double least_m = Distance_m(a.front(), b);
  for (const TownPoint point : a) least_m = std::min(least_m, Distance_m(point, b));
  for (const TownPoint point : b) least_m = std::min(least_m, Distance_m(point, a));
  for (size_t i = 1; i < a.size() && least_m > 0; ++i) {
    for (size_t j = 1; j < b.size(); ++j) {
      if (Crossing(a[i - 1], a[i], b[j - 1], b[j])) return 0;
    }
  }
  return least_m;
}

std::optional<TownPoint> Crossing(TownPoint a, TownPoint b, TownPoint c, TownPoint d) {
  const TownPoint ab = b - a, cd = d - c, ac = c - a;
  const double turn = Cross(ab, cd);
  if (turn == 0) return std::nullopt;
  const double on_ab = Cross(ac, cd) / turn, on_cd = Cross(ac, ab) / turn;
  if (on_ab < 0 || on_ab > 1 || on_cd < 0 || on_cd > 1) return std::nullopt;
  return a + on_ab * ab;
}

double Along_m(const std::vector<TownPoint>& line, TownPoint point) {
  double best_m = 0, nearest_m = Distance_m(point, line.front()), before_m = 0;
  for (size_t i = 1; i < line.size(); ++i) {
    const double stretch_m = Distance_m(line[i - 1], line[i]);
    const double away_m = ToStretch_m(point, line[i - 1], line[i]);
    if (away_m < nearest_m) {
      nearest_m = away_m;
      best_m = before_m + Share(point, line[i - 1], line[i]) * stretch_m;
    }
    before_m += stretch_m;
  }
  return best_m;
}

PlaceOnLine PlaceAt(const std::vector<TownPoint>& line, double along_m) {
  along_m = std::max(along_m, 0.0);
  for (size_t i = 1;; ++i) {
    const TownPoint stretch = line[i] - line[i - 1];
    const double stretch_m = Length_m(stretch);
    const bool last = i + 1 == line.size();
    if (along_m <= stretch_m || last) {
      const TownPoint ahead = 1 / stretch_m * stretch;
      return {line[i - 1] + std::min(along_m, stretch_m) * ahead, ahead};
    }
    along_m -= stretch_m;
  }
}

std::vector<TownPoint> PartOf(const std::vector<TownPoint>& line, double from_m, double to_m) {
  constexpr double kSamePoint_m = 1e-6;
  std::vector<TownPoint> part = {PlaceAt(line, from_m).at};
  double along_m = 0;
  for (size_t i = 1; i < line.size(); ++i) {
    along_m += Distance_m(line[i - 1], line[i]);
    if (along_m > from_m + kSamePoint_m && along_m < to_m - kSamePoint_m) part.push_back(line[i]);
  }
  part.push_back(PlaceAt(line, to_m).at);
  return part;
}

}  // namespace lastreach
