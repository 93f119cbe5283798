#include "app/what_else_text.h"

#include <cmath>
#include <nlohmann/json.hpp>

#include "plan/plan_json.h"
#include "report/figures.h"

namespace lastreach {
namespace {

constexpr double kDaysAYear = 365.25;

// To tens: where it would be laid is not known.
std::string RoughLength(double length_m, SheetUnits units) {
  const double shown = units == SheetUnits::kUs ? Length::Metres(length_m).feet() : length_m;
  return ThreeDigits(std::round(shown / 10) * 10) + (units == SheetUnits::kUs ? " ft" : " m");
}

std::string Cost(const WhatElseTold& told, double m3_per_day) {
  if (!told.prices.water_per_m3) return "";
  const std::string cost = ToTwoDigits(m3_per_day * kDaysAYear * told.prices.water_per_m3->value);
  return ", about " + (told.prices.currency == "$" ? "$" + cost : cost + " " + told.prices.currency);
}

}  // namespace

double Water_m3_per_day(const DevicePlan& plan) {
  const auto& outcome = plan.planned_outcome ? plan.planned_outcome : plan.present_outcome;
  return outcome ? outcome->water_m3_per_day : 0;
}

std::string WordsOn(const OtherWayOutcome& outcome, double target_mg_per_l, double water_now_m3_per_day,
                    const std::string& joined_to, SheetUnits units) {
  const std::string lowest = ResidualText(outcome.lowest_mg_per_l, target_mg_per_l);
  const std::string target = ResidualText(target_mg_per_l);
  const std::string length = RoughLength(outcome.main_m, units) + " of main";
  const double saved_m3_per_day = water_now_m3_per_day - outcome.water_m3_per_day;
  const std::string water = WaterText(outcome.water_m3_per_day, units) + " a day" +
                            (saved_m3_per_day > 0 ? ", " + WaterText(saved_m3_per_day, units) + " less" : "");
  switch (outcome.way) {
    case OtherWay::kRemove:
      return outcome.holds ? "Without the device its customers would still have " + lowest +
                                 " at the worst hour: watch it for a season with the device off."
                           : "Without the device its customers would fall to " + lowest + " (target " +
                                 target + "): it is needed as the mains are now.";
    case OtherWay::kMoveToLastCustomer:
      return "Moved to the last customer it would use " + water + "; nobody drinks past there.";
    case OtherWay::kSmallerMain:
      return "With the reach one width smaller (" + length +
             ", when it is renewed; ask the fire authority) it " + "would use " + water +
             ", and the lowest pressure would be " + PressureText(outcome.lowest_pressure_m, units) + ".";
    case OtherWay::kLoop:
      return "Joined to " + joined_to + " by " + length + ", and no device, its customers would have " +
             lowest +
             " at the worst hour: " + (outcome.holds ? "that would do." : "that would not do by itself.");
  }
  return "";
}

void PrintWhatElse(const WhatElseTold& told, std::ostream& out) {
  const double water = Water_m3_per_day(*told.plan);
  out << told.plan->point.code.text() << (told.plan->point.place.empty() ? "" : "  " + told.plan->point.place)
      << ": " << WaterText(water, told.units) << " a day by the plan for " << told.season
      << "; a year at that rate is about " << WaterInSpeech(water * kDaysAYear, told.units)
      << Cost(told, water) << ".\n";
  for (const OtherWayOutcome& way : told.ways) {
    const std::string joined = way.way == OtherWay::kLoop ? told.names[At(way.joined_to)] : "";
    out << "- " << WordsOn(way, told.plan->target_mg_per_l, water, joined, told.units) << "\n";
  }
  if (told.ways.empty()) out << "Nothing else could be tried here.\n";
  out << "Each was run on the whole network with all other devices as planned; middle values, the worst "
         "week of the season.\n"
         "What a main or a loop costs, and whether there is room for it, is for you to weigh.\n"
         "A planning aid: the licensed operator in charge decides, and local rules come first.\n";
}

std::string WhatElseToJson(const WhatElseTold& told) {
  const double water = Water_m3_per_day(*told.plan);
  nlohmann::ordered_json json = {
      {"device", told.plan->point.code.text()},        {"season", told.season},
      {"target_mg_per_l", told.plan->target_mg_per_l}, {"water_m3_per_day", water},
      {"water_m3_per_year", water * kDaysAYear},       {"ways", nlohmann::ordered_json::array()}};
  if (told.prices.water_per_m3) {
    json["water_costs_per_year"] = water * kDaysAYear * told.prices.water_per_m3->value;
    json["currency"] = told.prices.currency;
  }
  for (const OtherWayOutcome& way : told.ways) {
    nlohmann::ordered_json one = {{"way", ToText(way.way)},
                                  {"lowest_mg_per_l", way.lowest_mg_per_l},
                                  {"holds", way.holds},
                                  {"water_m3_per_day", way.water_m3_per_day},
                                  {"lowest_pressure_m", way.lowest_pressure_m},
                                  {"verdict", ToText(way.verdict)}};
    if (way.main_m > 0) one["main_m"] = way.main_m;
    if (way.way == OtherWay::kLoop) one["joined_to"] = told.names[At(way.joined_to)];
    json["ways"].push_back(std::move(one));
  }
  return json.dump(2);
}

}  // namespace lastreach
