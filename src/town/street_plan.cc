#include "town/street_plan.h"

#include <algorithm>

#include "town/districts.h"
#include "town/side_streets.h"
#include "town/street_names.h"
#include "town/town_ends.h"
#include "town/town_lines.h"

namespace lastreach {
namespace {

using Plan = std::vector<PlannedStreet>;
using Line = std::vector<TownPoint>;

PlannedStreet Road(StreetKind kind, const char* name, const char* zone, Line line, double diameter_in,
                   const char* material, int year_laid, double lot_m) {
  PlannedStreet road{kind, name, zone, std::move(line), {}, material, year_laid, lot_m, ""};
  road.pipes.push_back({LineLength_m(road.line), diameter_in});
  return road;
}

// The material of a flushed street as the lids and the binder have it, where they know.
const char* MaterialOf(const std::string& code, double diameter_in) {
  if (code == "D05") return "DI";
  if (code == "D06" || code == "D11") return "cast iron";
  if (code == "D21") return "AC";
  return code == "D24" || diameter_in < 3 ? "galvanised" : "PVC";
}

void AddKnownStreets(Plan& plan) {
  for (const Street& street : Streets()) {
    PlannedStreet planned{StreetKind::kThrough,
                          street.name,
                          street.supply_zone,
                          street.line,
                          street.pipes,
                          "cast iron",
                          1949,
                          30,
                          street.end_code};
    if (!street.end_code.empty()) {
      planned.kind = StreetKind::kFlushed;
      planned.material = MaterialOf(street.end_code, street.pipes.back().diameter_in);
      planned.year_laid = planned.material == "PVC" ? 1995 : 1958;
      planned.lot_m = 0;  // its houses are those of the sheets
    } else if (street.supply_zone == kHighTank) {
      planned.material = "DI";
      planned.year_laid = 1976;
    }
    if (street.name != "Boundary Lane") {
      plan.push_back(planned);
      continue;
    }
    const TownPoint valve = {street.line.front().x_m, kRailway_y_m};
    for (const char* zone : {kMillrace, kHighTank}) {
      PlannedStreet part = planned;
      part.zone = zone;
      part.line = zone == kMillrace ? Line{street.line.front(), valve} : Line{valve, street.line.back()};
      part.pipes = {{LineLength_m(part.line), street.pipes.front().diameter_in}};
      plan.push_back(part);
    }
  }
}

void AddNewThroughStreets(Plan& plan) {
  const auto add = [&](const char* name, const char* zone, TownPoint from, TownPoint to, double diameter_in,
                       int year_laid) {
    plan.push_back(Road(StreetKind::kThrough, name, zone, {from, to}, diameter_in,
                        year_laid < 1970 ? "AC" : "PVC", year_laid, 34));
  };
  add("Turntable Avenue", kMillrace, {800, 2200}, {800, kRailway_y_m}, 8, 1966);
  add("Turntable Avenue", kHighTank, {800, kRailway_y_m}, {800, 3200}, 8, 1973);
  add("Semaphore Avenue", kMillrace, {3800, 2200}, {3800, kRailway_y_m}, 8, 1968);
  add("Semaphore Avenue", kHighTank, {3800, kRailway_y_m}, {3800, 3200}, 8, 1973);
  add("Penstock Road", kMillrace, {800, 1200}, {290, 1200}, 12, 1949);
  add("Goods Road", kMillrace, {800, 2200}, {290, 2200}, 12, 1949);
  add("Meadowlark Road", kHighTank, {800, 3200}, {290, 3200}, 12, 1976);
  add("Sunset Road", kHighTank, {800, 4200}, {290, 4200}, 8, 1990);
  add("Ferry Road", kMillrace, {3800, 1200}, {4390, 1200}, 8, 1985);
  add("Wagon Road", kMillrace, {3800, 2200}, {4320, 2200}, 8, 1977);
  add("Sandhill Road", kHighTank, {3800, 3200}, {4320, 3200}, 8, 1998);
  add("Sunrise Road", kHighTank, {3800, 4200}, {4320, 4200}, 8, 1998);
  add("South Lantern Street", kMillrace, {2300, 1200}, {2300, 295}, 8, 1987);
  add("South Kestrel Avenue", kMillrace, {3800, 1200}, {3800, 330}, 8, 1994);
  add("North Beacon Street", kHighTank, {800, 4200}, {800, 4930}, 8, 2003);
  add("North Granary Avenue", kHighTank, {2300, 4200}, {2300, 4930}, 12, 1984);
  add("North Bluestem Avenue", kHighTank, {3800, 4200}, {3800, 4930}, 8, 2008);
}

// Fed through one pipe only; its drawing stops short of that (drawn_mains.h).
void AddLarkspur(Plan& plan) {
  plan.push_back(Road(StreetKind::kCulDeSac, "Larkspur Drive", kHighTank,
                      {{4115, 4200}, {4115, 4330}, {4125, 4390}, {4160, 4450}, {4165, 4540}}, 6, "PVC", 2016,
                      38));
  plan.push_back(Road(StreetKind::kCulDeSac, "Larkspur Court", kHighTank,
                      {{4115, 4330}, {4000, 4345}, {3960, 4390}}, 6, "PVC", 2016, 36));
}

void AddWorks(Plan& plan) {
  const auto add = [&](const char* name, const char* zone, Line line, double diameter_in, int year_laid) {
    plan.push_back(
        Road(StreetKind::kTransmission, name, zone, std::move(line), diameter_in, "DI", year_laid, 0));
  };
  const TownPoint emergency_valve = {kBooster.x_m, kRailway_y_m};
  add("Plant main", kMillrace, {kPlant, {420, 640}, {560, 860}, {560, 1200}, {560, 2200}}, 18, 1971);
  add("Emergency link", kMillrace, {{560, 2200}, emergency_valve}, 8, 1984);
  add("Emergency link", kHighTank, {emergency_valve, kBooster}, 8, 1984);
  add("Bought water main", kHighTank, {kNeighbour, kBooster}, 14, 1984);
  add("Booster main", kHighTank, {kBooster, {560, 3200}}, 14, 1984);
  add("Tank main", kHighTank, {{2300, kTank.y_m}, kTank}, 12, 1984);
}

void AddDistrictStreets(Plan& plan) {
  const Plan laid = plan;
  uint64_t seed = 7100;
  for (const District& district : Districts()) {
    int number = 0;
    for (PlannedStreet& street : StreetsOf(district, laid, ++seed)) {
      // A wider main under every fourth street; what the old town laid first is narrow.
      const double diameter_in = ++number % 4 == 0 ? 8 : district.year_laid < 1960 && number % 3 == 0 ? 4 : 6;
      street.pipes = {{LineLength_m(street.line), diameter_in}};
      street.year_laid += number % 5;
      plan.push_back(street);
    }
  }
}

Plan MakePlan() {
  Plan plan;
  AddKnownStreets(plan);
  AddNewThroughStreets(plan);
  AddDistrictStreets(plan);
  AddLarkspur(plan);
  AddWorks(plan);
  Seeded seeded(20260601);
  AddCrescents(plan, 10, seeded);
  AddCulsDeSac(plan, 30, seeded);
  std::set<std::string> taken;
  for (const PlannedStreet& street : plan) taken.insert(street.name);
  StreetNames(taken).NameAll(plan);
  AddHydrantLeads(plan, 8, seeded);
  return plan;
}

}  // namespace

const std::vector<PlannedStreet>& StreetPlan() {
  static const Plan kPlan = MakePlan();
  return kPlan;
}

std::vector<TownPoint> BoundaryValves() {
  return {{560, kRailway_y_m}, {800, kRailway_y_m}, {2300, kRailway_y_m}, {3800, kRailway_y_m}};
}

}  // namespace lastreach
