#include "town/street_names.h"

#include <array>
#include <cmath>

#include "town/town_lines.h"

namespace lastreach {
namespace {

constexpr std::array<const char*, 23> kFirst = {"Ash",   "Birch",   "Cedar", "Dove",    "Elm",    "Fox",
                                                "Gorse", "Hazel",   "Iron",  "Juniper", "Kettle", "Lark",
                                                "Maple", "Nettle",  "Oak",   "Pine",    "Quail",  "Rowan",
                                                "Stone", "Thistle", "Umber", "Violet",  "Wheat"};
constexpr std::array<const char*, 17> kSecond = {"brook", "dale",   "field", "ridge", "wood",  "mead",
                                                 "croft", "hollow", "bank",  "crest", "grove", "lea",
                                                 "run",   "side",   "garth", "vale",  "point"};

const char* EndingOf(const PlannedStreet& street) {
  if (street.kind == StreetKind::kCulDeSac) return "Court";
  if (street.kind == StreetKind::kCrescent) return "Crescent";
  if (street.kind == StreetKind::kThrough) return "Road";
  const TownPoint across = street.line.back() - street.line.front();
  if (LineLength_m(street.line) > 1.02 * Length_m(across)) return "Drive";
  const double east_m = std::abs(across.x_m), north_m = std::abs(across.y_m);
  if (std::min(east_m, north_m) > 0.5 * std::max(east_m, north_m)) return "Way";
  return east_m > north_m ? "Street" : "Avenue";
}

}  // namespace

void StreetNames::NameAll(std::vector<PlannedStreet>& streets) {
  for (PlannedStreet& street : streets) {
    if (street.name.empty()) street.name = Next(EndingOf(street));
  }
}

std::string StreetNames::Next(const std::string& ending) {
  // 23 and 17 have no common factor, so that the pairs come round only after all 391; then
  // there is a Little Ashbrook Street too.
  while (true) {
    const std::string pair = std::string(kFirst[next_ % kFirst.size()]) + kSecond[next_ % kSecond.size()];
    const size_t round = next_ / (kFirst.size() * kSecond.size());
    ++next_;
    const std::string name = (round == 0 ? "" : round == 1 ? "Little " : "Great ") + pair + " " + ending;
    if (taken_.insert(name).second) return name;
  }
}

}  // namespace lastreach
