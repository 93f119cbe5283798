#include "town/houses.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <map>

#include "town/seeded.h"
#include "town/town_ends.h"
#include "town/town_lines.h"

namespace lastreach {
namespace {

constexpr double kShareBuilt = 0.48;  // of the lots
constexpr double kNearer_m = 6;
constexpr double kFarthest_m = 15;

struct Ending {
  const char* whole;
  const char* brief;
};
constexpr std::array<Ending, 9> kEndings = {{{"Street", "St"},
                                             {"Avenue", "Ave"},
                                             {"Road", "Rd"},
                                             {"Drive", "Dr"},
                                             {"Court", "Ct"},
                                             {"Lane", "Ln"},
                                             {"Crescent", "Cres"},
                                             {"Terrace", "Ter"},
                                             {"Close", "Cl"}}};

std::string Brief(const std::string& street) {
  for (const Ending& ending : kEndings) {
    const std::string whole = ending.whole;
    if (street.size() > whole.size() && street.ends_with(whole))
      return street.substr(0, street.size() - whole.size()) + ending.brief;
  }
  return street;
}

std::string Cased(std::string text, int (*change)(int)) {
  for (char& c : text) c = static_cast<char>(change(static_cast<unsigned char>(c)));
  return text;
}

std::string AddressOf(int number, const std::string& street, Seeded& seeded) {
  const std::string digits = std::to_string(number);
  const int way = seeded.Whole(0, 99);
  if (way < 45) return digits + " " + street;
  if (way < 60) return digits + " " + Brief(street);
  if (way < 75) return Cased(digits + " " + Brief(street), std::toupper);
  if (way < 82) return digits + " " + Brief(street) + ".";
  if (way < 87) return digits + "  " + Cased(street, std::tolower);
  if (way < 91) return digits + " " + street + ", Invented Town";
  if (way < 94) return street + " " + digits;
  if (way < 97) return "NO. " + digits + " " + Cased(street, std::toupper);
  return way < 98 ? "" : "# " + digits + " " + Brief(street) + " ";
}

// Box round every street, so that far ones need no measuring.
struct Box {
  TownPoint low, high;
};

class Builder {
 public:
  explicit Builder(const std::vector<PlannedStreet>& plan) : plan_(plan) {
    for (const PlannedStreet& street : plan) {
      Box box = {street.line.front(), street.line.front()};
      for (const TownPoint p : street.line) {
        box.low = {std::min(box.low.x_m, p.x_m), std::min(box.low.y_m, p.y_m)};
        box.high = {std::max(box.high.x_m, p.x_m), std::max(box.high.y_m, p.y_m)};
      }
      boxes_.push_back(box);
    }
  }

  void BuildAlong(size_t street) {
    const PlannedStreet& on = plan_[street];
    const double length_m = LineLength_m(on.line);
    const int first = FirstNumber(on);
    for (double along_m = 14; along_m < length_m - 10; along_m += on.lot_m) {
      for (const double side : {1.0, -1.0}) {
        const bool built = seeded_.Unit() < kShareBuilt;
        const double moved_m = along_m + (seeded_.Unit() - 0.5) * (on.lot_m - 12);
        if (built) Build(street, moved_m, side, first);
      }
    }
  }

  // The sheets' number, spread over the street but for its last part, where the water is oldest.
  void BuildFlushed(size_t street, int count) {
    const double length_m = LineLength_m(plan_[street].line);
    const double from_m = std::min(30.0, length_m / 4), to_m = 0.88 * length_m;
    for (int i = 0; i < count; ++i) {
      const double share = count == 1 ? 1 : 1.0 * i / (count - 1);
      Build(street, from_m + share * (to_m - from_m), i % 2 == 0 ? 1 : -1, 1);
    }
  }

  std::vector<House> houses;

 private:
  // The two parts of a street that the railway cuts are numbered on.
  int FirstNumber(const PlannedStreet& street) {
    int& next = next_number_[street.name];
    const int first = next + 1;
    next += 2 * static_cast<int>(LineLength_m(street.line) / 10) + 20;
    return first;
  }

  void Build(size_t street, double along_m, double side, int first) {
    const PlaceOnLine place = PlaceAt(plan_[street].line, along_m);
    House house{street, along_m, place.at + side * (8 + 7 * seeded_.Unit()) * LeftOf(place.ahead), 0, "", {}};
    const double use_gal = (plan_[street].zone == kMillrace ? 180 : 160) * (1 + 0.3 * seeded_.Bell());
    const bool read = seeded_.Unit() < 0.9;
    house.number = first + 2 * static_cast<int>(along_m / 10) + (side > 0 ? 1 : 0);
    house.address = AddressOf(house.number, plan_[street].name, seeded_);
    if (read) house.use_gal_per_day = std::max(use_gal, 25.0);
    if (IsServedBy(street, house.at)) houses.push_back(house);
  }

  bool IsServedBy(size_t street, TownPoint at) const {
    const double own_m = Distance_m(at, plan_[street].line);
    if (own_m < 7.9) return false;
    const double reach_m = kFarthest_m + kNearer_m;
    for (size_t i = 0; i < plan_.size(); ++i) {
      const Box& box = boxes_[i];
      if (i == street || plan_[i].kind == StreetKind::kHydrantLead) continue;
      if (at.x_m < box.low.x_m - reach_m || at.x_m > box.high.x_m + reach_m) continue;
      if (at.y_m < box.low.y_m - reach_m || at.y_m > box.high.y_m + reach_m) continue;
      if (Distance_m(at, plan_[i].line) < own_m + kNearer_m) return false;
    }
    return true;
  }

  const std::vector<PlannedStreet>& plan_;
  std::vector<Box> boxes_;
  std::map<std::string, int> next_number_;
  Seeded seeded_{20260415};
};

std::vector<House> BuildAll() {
  std::map<std::string, int> sheet;
  for (const std::vector<TownEnd>& ends : {Devices(), HandEnds()}) {
    for (const TownEnd& end : ends) sheet[end.code] = end.services;
  }
  const std::vector<PlannedStreet>& plan = StreetPlan();
  Builder builder(plan);
  for (size_t i = 0; i < plan.size(); ++i) {
    if (plan[i].lot_m > 0) builder.BuildAlong(i);
    if (!plan[i].end_code.empty())
      builder.BuildFlushed(i, sheet[plan[i].end_code] + HousesTheSheetsMiss(plan[i].end_code));
  }
  return builder.houses;
}

}  // namespace

const std::vector<House>& Houses() {
  static const std::vector<House> kHouses = BuildAll();
  return kHouses;
}

int HousesTheSheetsMiss(const std::string& end_code) {
  if (end_code == "D09") return 2;   // built since the lid was read
  if (end_code == "H06") return -2;  // pulled down
  return end_code == "H28" ? 1 : 0;
}

}  // namespace lastreach
