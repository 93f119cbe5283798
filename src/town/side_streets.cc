#include "town/side_streets.h"

#include <algorithm>

#include "town/districts.h"
#include "town/town_lines.h"

namespace lastreach {
namespace {

constexpr int kTries = 20000;
constexpr double kFromJoint_m = 45;
constexpr double kRoom_m = 48;  // from a new street to the others, so that both have houses

using Line = std::vector<TownPoint>;

// A straight stretch of a street and a place on it.
struct Start {
  size_t street = 0;
  TownPoint at;
  TownPoint ahead;
  double room_ahead_m = 0;  // to the end of the stretch
};

std::optional<Start> AnyPlace(const std::vector<PlannedStreet>& plan, Seeded& seeded) {
  Start start;
  start.street = static_cast<size_t>(seeded.Whole(0, static_cast<int>(plan.size()) - 1));
  const PlannedStreet& street = plan[start.street];
  const auto i = static_cast<size_t>(seeded.Whole(1, static_cast<int>(street.line.size()) - 1));
  const double along_m = seeded.Unit() * Distance_m(street.line[i - 1], street.line[i]);
  if (street.kind != StreetKind::kLocal && street.kind != StreetKind::kThrough) return std::nullopt;
  const double stretch_m = Distance_m(street.line[i - 1], street.line[i]);
  start.ahead = 1 / stretch_m * (street.line[i] - street.line[i - 1]);
  start.at = street.line[i - 1] + along_m * start.ahead;
  start.room_ahead_m = stretch_m - along_m;
  return start;
}

// Whether all of `line` but its first metres is clear of every street, and no joint is near its start.
bool HasRoom(const std::vector<PlannedStreet>& plan, const Line& line, size_t own, double clear_m) {
  const double whole_m = LineLength_m(line);
  const Line beyond = PartOf(line, std::min(clear_m + 1, whole_m / 2), whole_m);
  for (size_t i = 0; i < plan.size(); ++i) {
    if (i == own) {
      if (Distance_m(beyond, plan[i].line) < std::min(clear_m, whole_m / 2) - 1e-6) return false;
      for (const TownPoint point : {plan[i].line.front(), plan[i].line.back()}) {
        if (Distance_m(line.front(), point) < kFromJoint_m) return false;
      }
    } else if (Distance_m(line, plan[i].line) < clear_m) {
      return false;
    }
  }
  return std::all_of(line.begin(), line.end(), [](TownPoint point) {
    return point.x_m > 0 && point.x_m < kTownWidth_m && point.y_m > 0 && point.y_m < kTownHeight_m;
  });
}

PlannedStreet Side(const PlannedStreet& from, StreetKind kind, Line line) {
  PlannedStreet side = from;
  side.kind = kind;
  side.name.clear();
  side.line = std::move(line);
  side.pipes = {{LineLength_m(side.line), 6}};
  side.year_laid = std::min(from.year_laid + 9, 2019);
  side.material = side.year_laid < 1955 ? "cast iron" : side.year_laid < 1975 ? "AC" : "PVC";
  return side;
}

}  // namespace

void AddCulsDeSac(std::vector<PlannedStreet>& plan, int count, Seeded& seeded) {
  for (int tries = 0; tries < kTries && count > 0; ++tries) {
    const std::optional<Start> start = AnyPlace(plan, seeded);
    const double length_m = seeded.Whole(60, 190);
    const double side = seeded.Whole(0, 1) == 0 ? -1 : 1;
    const int bend = seeded.Whole(-2, 2);
    const double narrow = seeded.Unit();
    if (!start) continue;
    const TownPoint away = side * LeftOf(start->ahead);
    Line line = {start->at, start->at + length_m * away};
    if (bend != 0) {
      line = {start->at, start->at + 0.6 * length_m * away,
              start->at + 0.85 * length_m * away + 0.12 * bend * length_m * start->ahead};
    }
    if (!HasRoom(plan, line, start->street, kRoom_m)) continue;
    plan.push_back(Side(plan[start->street], StreetKind::kCulDeSac, line));
    plan.back().pipes.front().diameter_in = narrow < 0.25 ? 4 : narrow < 0.33 ? 2 : 6;
    // On some nobody has built yet.
    plan.back().lot_m = count % 5 == 0 ? 0 : 28;
    --count;
  }
}

void AddCrescents(std::vector<PlannedStreet>& plan, int count, Seeded& seeded) {
  for (int tries = 0; tries < kTries && count > 0; ++tries) {
    const std::optional<Start> start = AnyPlace(plan, seeded);
    const double wide_m = seeded.Whole(100, 180), deep_m = seeded.Whole(70, 110);
    const double side = seeded.Whole(0, 1) == 0 ? -1 : 1;
    if (!start || start->room_ahead_m < wide_m + 5) continue;
    const TownPoint away = side * LeftOf(start->ahead);
    const auto place = [&](double along, double out) {
      return start->at + along * wide_m * start->ahead + out * deep_m * away;
    };
    const Line line = {place(0, 0),   place(0, 0.6),     place(0.06, 0.82), place(0.2, 1),
                       place(0.8, 1), place(0.94, 0.82), place(1, 0.6),     place(1, 0)};
    Line back(line.rbegin(), line.rend());
    const double half_m = LineLength_m(line) / 2;
    if (!HasRoom(plan, PartOf(line, 0, half_m), start->street, kRoom_m)) continue;
    if (!HasRoom(plan, PartOf(back, 0, half_m), start->street, kRoom_m)) continue;
    plan.push_back(Side(plan[start->street], StreetKind::kCrescent, line));
    plan.back().lot_m = 36;
    --count;
  }
}

void AddHydrantLeads(std::vector<PlannedStreet>& plan, int count, Seeded& seeded) {
  for (int tries = 0; tries < kTries && count > 0; ++tries) {
    const std::optional<Start> start = AnyPlace(plan, seeded);
    if (!start) continue;
    const Line line = {start->at, start->at + 5 * LeftOf(start->ahead)};
    if (Distance_m(start->at, plan[start->street].line.front()) < kFromJoint_m) continue;
    if (!HasRoom(plan, line, start->street, 20)) continue;
    plan.push_back(Side(plan[start->street], StreetKind::kHydrantLead, line));
    plan.back().lot_m = 0;
    plan.back().name = plan[start->street].name;
    --count;
  }
}

}  // namespace lastreach
