#include "map/clean.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <map>
#include <numeric>

namespace lastreach {
namespace {

constexpr double kFarAway_m = 20000;
constexpr double kFarAwayTimes = 10;

// Metres, only good enough to tell a neighbour from another continent.
double RoughDistance_m(Position a, Position b) {
  constexpr double kMetresPerDegree = 111000;
  const double east = (a.longitude_deg - b.longitude_deg) * std::cos(b.latitude_deg * 3.14159265 / 180);
  return kMetresPerDegree * std::hypot(east, a.latitude_deg - b.latitude_deg);
}

double RoughLength_m(const DrawnMain& main) {
  double length_m = 0;
  for (size_t i = 1; i < main.line.size(); ++i) length_m += RoughDistance_m(main.line[i], main.line[i - 1]);
  return length_m;
}

// What people are shown.
double Length_m(const DrawnMain& main) {
  const Plane plane = Plane::Around(main.line);
  double length_m = 0;
  for (size_t i = 1; i < main.line.size(); ++i) {
    length_m += Distance_m(plane.To(main.line[i - 1]), plane.To(main.line[i]));
  }
  return length_m;
}

Position MiddleOf(const DrawnMain& main) { return main.line[main.line.size() / 2]; }

// The value below which `share` of the weight lies.
double WeightedQuantile(std::vector<std::pair<double, double>> value_weight, double share) {
  std::sort(value_weight.begin(), value_weight.end());
  double total = 0;
  for (const auto& [value, weight] : value_weight) total += weight;
  double sum = 0;
  for (const auto& [value, weight] : value_weight) {
    sum += weight;
    if (sum >= share * total) return value;
  }
  return value_weight.empty() ? 0 : value_weight.back().first;
}

const char* ReasonFor(MainStatus status) {
  switch (status) {
    case MainStatus::kAbandoned:
      return "it is out of use";
    case MainStatus::kProposed:
      return "it is not built yet";
    case MainStatus::kOtherWater:
      return "it carries other water";
    case MainStatus::kInUse:
      break;
  }
  return "";
}

std::string Kilometres(double metres) {
  std::array<char, 32> text{};
  std::snprintf(text.data(), text.size(), "%.0f km", metres / 1000);
  return text.data();
}

class Cleaner {
 public:
  Cleaner(const Drawing& drawing, double same_point_m) : drawing_(drawing), same_point_m_(same_point_m) {}

  CleanLines Run() {
    std::vector<uint32_t> kept;
    for (uint32_t i = 0; i < drawing_.mains.size(); ++i) {
      const DrawnMain& main = drawing_.mains[i];
      if (main.status != MainStatus::kInUse) {
        SetAsideMain(main, ReasonFor(main.status), Length_m(main));
      } else if (main.line.size() < 2) {
        SetAsideMain(main, "it has no length", 0);
      } else {
        kept.push_back(i);
      }
    }
    kept = WithoutFarAway(kept);
    std::vector<Position> positions;
    for (const uint32_t i : kept) {
      positions.insert(positions.end(), drawing_.mains[i].line.begin(), drawing_.mains[i].line.end());
    }
    clean_.plane = Plane::Around(positions);
    for (const uint32_t i : kept) {
      if (auto line = Flatten(drawing_.mains[i], i, clean_.plane, same_point_m_)) {
        clean_.lines.push_back(std::move(*line));
      } else {
        SetAsideMain(drawing_.mains[i], "it has no length", Length_m(drawing_.mains[i]));
      }
    }
    DropTwins();
    return std::move(clean_);
  }

 private:
  void SetAsideMain(const DrawnMain& main, std::string reason, double length_m) {
    std::optional<Position> at;
    if (!main.line.empty()) at = MiddleOf(main);
    clean_.set_aside.push_back({main.key, std::move(reason), length_m, at});
  }

  std::vector<uint32_t> WithoutFarAway(const std::vector<uint32_t>& lines) {
    std::vector<std::pair<double, double>> east;
    std::vector<std::pair<double, double>> north;
    for (const uint32_t i : lines) {
      const DrawnMain& main = drawing_.mains[i];
      // A line across an ocean must not outweigh a town.
      const double weight = std::min(RoughLength_m(main), 1000.0) + 1;
      east.emplace_back(MiddleOf(main).longitude_deg, weight);
      north.emplace_back(MiddleOf(main).latitude_deg, weight);
    }
    const Position middle{WeightedQuantile(east, 0.5), WeightedQuantile(north, 0.5)};
    std::vector<std::pair<double, double>> spread;
    for (size_t k = 0; k < lines.size(); ++k) {
      spread.emplace_back(RoughDistance_m(MiddleOf(drawing_.mains[lines[k]]), middle), east[k].second);
    }
    const double far_m = std::max(kFarAway_m, kFarAwayTimes * WeightedQuantile(spread, 0.9));
    std::vector<uint32_t> kept;
    for (const uint32_t i : lines) {
      const DrawnMain& main = drawing_.mains[i];
      double greatest_m = 0;
      for (const Position& p : main.line) greatest_m = std::max(greatest_m, RoughDistance_m(p, middle));
      if (greatest_m <= far_m) {
        kept.push_back(i);
      } else {
        SetAsideMain(main, "it lies " + Kilometres(greatest_m) + " from the middle of the map",
                     Length_m(main));
      }
    }
    return kept;
  }

  // How much a line tells beside its course; of two equal ones the lower key stays.
  auto Tells(const FlatLine& line) const {
    const DrawnMain& main = drawing_.mains[line.main];
    const int told = (main.diameter ? 4 : 0) + (main.material.empty() ? 0 : 2) + (main.year_laid ? 1 : 0);
    return std::tuple(-told, main.key);
  }

  void DropTwins() {
    // Twins have the same length and their ends in the same places; a grid of the middle of their ends
    // brings them together, whichever way they run.
    const auto square = [](double metres) { return static_cast<int64_t>(std::floor(metres)); };
    std::map<std::pair<int64_t, int64_t>, std::vector<uint32_t>> by_place;
    std::vector<bool> dropped(clean_.lines.size(), false);
    for (uint32_t i = 0; i < clean_.lines.size(); ++i) {
      const FlatLine& line = clean_.lines[i];
      const double x = (line.points.front().x_m + line.points.back().x_m) / 2;
      const double y = (line.points.front().y_m + line.points.back().y_m) / 2;
      for (int64_t dx = -1; dx <= 1 && !dropped[i]; ++dx) {
        for (int64_t dy = -1; dy <= 1 && !dropped[i]; ++dy) {
          const auto found = by_place.find({square(x) + dx, square(y) + dy});
          if (found == by_place.end()) continue;
          for (uint32_t& twin : found->second) {
            if (dropped[twin] || !AreTwins(line, clean_.lines[twin])) continue;
            uint32_t less = i;
            uint32_t more = twin;
            if (Tells(clean_.lines[less]) < Tells(clean_.lines[more])) std::swap(less, more);
            dropped[less] = true;
            SetAsideMain(drawing_.mains[clean_.lines[less].main],
                         "it is drawn twice: the same as " + drawing_.mains[clean_.lines[more].main].key.key,
                         clean_.lines[less].length_m());
            if (dropped[i]) break;
          }
        }
      }
      if (!dropped[i]) by_place[{square(x), square(y)}].push_back(i);
    }
    std::vector<FlatLine> kept;
    for (uint32_t i = 0; i < clean_.lines.size(); ++i) {
      if (!dropped[i]) kept.push_back(std::move(clean_.lines[i]));
    }
    clean_.lines = std::move(kept);
  }

  bool AreTwins(const FlatLine& a, const FlatLine& b) const {
    const double within_m = 2 * same_point_m_;
    const PlanePoint first = a.points.front();
    const bool ends_meet =
        std::min(Distance_m(first, b.points.front()), Distance_m(first, b.points.back())) <= within_m;
    return ends_meet &&
           std::abs(a.length_m() - b.length_m()) <= within_m * static_cast<double>(a.points.size()) &&
           GreatestDistance_m(a.points, b.points) <= within_m;
  }

  const Drawing& drawing_;
  double same_point_m_;
  CleanLines clean_;
};

}  // namespace

CleanLines Clean(const Drawing& drawing, double same_point_m) { return Cleaner(drawing, same_point_m).Run(); }

}  // namespace lastreach
