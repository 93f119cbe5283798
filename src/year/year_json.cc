#include "year/year_json.h"

#include <cmath>
#include <nlohmann/json.hpp>

#include "calendar/settings_json.h"
#include "plan/plan_json.h"

namespace lastreach {
namespace {

using Json = nlohmann::ordered_json;

Json JsonOf(const TimerSettings& settings) { return Json::parse(SettingsToJson(settings)); }
Json JsonOf(const FlushPoint& point) { return Json::parse(PointToJson(point)); }
Json JsonOf(const std::set<int>& months) { return std::vector<int>(months.begin(), months.end()); }

// Water that there is none of, because so few visits will not do, has no number.
Json JsonOfWater(double water_m3) { return std::isfinite(water_m3) ? Json(water_m3) : Json(nullptr); }

void PutCost(const std::optional<double>& cost, Json& json) {
  if (cost) json["cost"] = *cost;
}

Json JsonOf(const YearPart& part) {
  return {{"name", part.name},
          {"from", FormatDate(part.days.from)},
          {"to", FormatDate(part.days.to)},
          {"months", part.months}};
}

Json JsonOf(const PartOfDevice& part) {
  Json json = {{"state", ToText(part.state)},
               {"settings", JsonOf(part.settings)},
               {"water_m3", part.water_m3},
               {"words", part.words}};
  if (part.outcome) json["outcome"] = Json::parse(OutcomeToJson(*part.outcome));
  return json;
}

Json JsonOf(const DeviceYear& device) {
  Json json = {
      {"point", JsonOf(device.point)}, {"water_m3", device.water_m3},         {"visits", device.visits},
      {"changes", device.changes},     {"least_m3_by_visits", Json::array()}, {"parts", Json::array()},
      {"notes", device.notes}};
  for (const double least : device.least_m3_by_visits)
    json["least_m3_by_visits"].push_back(JsonOfWater(least));
  for (const PartOfDevice& part : device.parts) json["parts"].push_back(JsonOf(part));
  return json;
}

Json JsonOf(const SettingsChange& change) {
  Json json = {{"date", FormatDate(change.when)},
               {"point", change.point.text()},
               {"settings", JsonOf(change.settings)},
               {"on_a_trip", change.on_a_trip},
               {"words", change.words}};
  if (change.percent_only) json["percent_only"] = *change.percent_only;
  return json;
}

Json JsonOf(const FrontierPoint& point) {
  Json json = {{"visits", point.visits}, {"water_m3", point.water_m3}, {"saved_m3", point.saved_m3}};
  PutCost(point.cost, json);
  return json;
}

Json JsonOf(const NamedPoint& point) {
  Json json = {{"name", point.name},
               {"water_m3", point.water_m3},
               {"visits", point.visits},
               {"changes", point.changes},
               {"note", point.note}};
  PutCost(point.cost, json);
  return json;
}

Json JsonOf(const HandFlushPlan& plan) {
  Json json = {{"verdict", ToText(plan.verdict)},
               {"minutes", plan.minutes},
               {"water_m3_a_flush", plan.water_m3_a_flush},
               {"rule_binds", plan.rule_binds},
               {"flushes_per_year", plan.flushes_per_year},
               {"water_m3_per_year", plan.water_m3_per_year},
               {"sureness", plan.sureness},
               {"lowest_mg_per_l", plan.lowest_mg_per_l},
               {"reasons", plan.reasons},
               {"assumed", plan.assumed},
               {"cautions", plan.cautions}};
  if (plan.days_that_hold) json["days_that_hold"] = *plan.days_that_hold;
  if (plan.days_between) json["days_between"] = *plan.days_between;
  return json;
}

Json JsonOf(const HandEndYear& end) {
  Json json = {{"point", JsonOf(end.point)},
               {"trips", end.year.trips},
               {"water_m3", end.year.water_m3},
               {"parts", Json::array()}};
  for (const HandFlushPlan& plan : end.year.parts) json["parts"].push_back(JsonOf(plan));
  return json;
}

Json JsonOf(const DroughtPlan& drought) {
  Json json = {{"stage", drought.cap.name},
               {"most_m3_per_day", drought.cap.most_m3_per_day},
               {"source", drought.cap.source},
               {"fits", drought.fits},
               {"water_m3_per_day", drought.water_m3_per_day},
               {"need_kept", drought.need_kept},
               {"need_given_up", drought.need_given_up},
               {"services_below_target", drought.services_below_target},
               {"devices", Json::array()},
               {"notes", drought.notes}};
  for (const DroughtChoice& choice : drought.choices) {
    json["devices"].push_back({{"point", choice.point.text()},
                               {"on", choice.on},
                               {"water_m3_per_day", choice.water_m3_per_day},
                               {"need", choice.need},
                               {"reason", choice.reason}});
  }
  return json;
}

Json JsonOf(const PartOnNetwork& part) {
  Json json = {{"confirmed", part.confirmed},
               {"short_at", Json::array()},
               {"greatest_shortfall_mg_per_l", part.greatest_shortfall_mg_per_l},
               {"lowest_pressure_m", part.lowest_pressure_m},
               {"lowest_pressure_at", part.lowest_pressure_at}};
  for (const PointCode& point : part.short_at) json["short_at"].push_back(point.text());
  return json;
}

template <typename T>
Json ListOf(const std::vector<T>& items) {
  Json list = Json::array();
  for (const T& item : items) list.push_back(JsonOf(item));
  return list;
}

}  // namespace

std::string YearToJson(const YearAnswer& answer, int indent) {
  const YearPlan& plan = answer.plan;
  Json json = {{"name", answer.name},         {"zone", answer.zone},
               {"sureness", answer.sureness}, {"water_m3", plan.water_m3},
               {"visits", plan.visits},       {"worth_m3_a_visit", plan.worth_m3_a_visit}};
  PutCost(plan.cost, json);
  if (answer.prices) {
    json["prices"] = {{"currency", answer.prices->currency},
                      {"per_m3", answer.prices->per_m3},
                      {"per_visit", answer.prices->per_visit},
                      {"source", answer.prices->source}};
  }
  json["parts"] = ListOf(plan.parts);
  json["named"] = ListOf(plan.named);
  json["frontier"] = ListOf(plan.frontier);
  json["to_begin"] = ListOf(plan.to_begin);
  json["changes"] = ListOf(plan.changes);
  json["devices"] = ListOf(plan.devices);
  json["hand_ends"] = ListOf(answer.hand_ends);
  json["drought"] = ListOf(answer.drought);
  json["frost"] = Json::array();
  for (const auto& [point, spell] : answer.frost) {
    json["frost"].push_back(
        {{"point", point.text()}, {"months", JsonOf(spell.months)}, {"source", spell.source}});
  }
  json["trips"] = Json::array();
  for (const auto& [point, months] : answer.trip_months) {
    json["trips"].push_back({{"point", point.text()}, {"months", JsonOf(months)}});
  }
  json["on_network"] = ListOf(answer.on_network);
  json["plan_notes"] = plan.notes;
  json["notes"] = answer.notes;
  return json.dump(indent);
}

}  // namespace lastreach
