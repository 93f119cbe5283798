#include <nlohmann/json.hpp>

#include "calendar/settings_json.h"
#include "core/words.h"
#include "plan/plan_json.h"
#include "year/year_json.h"

namespace lastreach {
namespace {

using Json = nlohmann::ordered_json;

// Throws, as the library does on a missing or mistyped item; YearFromJson turns that into an error.
template <typename T>
T OrThrow(Result<T> result) {
  if (!result.ok()) throw std::invalid_argument(result.error().ToString());
  return *std::move(result);
}

template <typename T>
T To(const Json& json);

template <typename T>
std::vector<T> ToList(const Json& json) {
  std::vector<T> list;
  for (const Json& item : json) list.push_back(To<T>(item));
  return list;
}

std::vector<std::string> Texts(const Json& json) { return json.get<std::vector<std::string>>(); }

Date ToDate(const Json& json) { return OrThrow(ParseDate(json.get<std::string>())); }

std::optional<double> CostOf(const Json& json) {
  return json.contains("cost") ? std::optional(json.at("cost").get<double>()) : std::nullopt;
}

std::optional<int> IntOf(const Json& json, const char* key) {
  return json.contains(key) ? std::optional(json.at(key).get<int>()) : std::nullopt;
}

template <>
PointCode To(const Json& json) {
  return PointCode(json.get<std::string>());
}

template <>
FlushPoint To(const Json& json) {
  return OrThrow(PointFromJson(json.dump(), "year"));
}

template <>
TimerSettings To(const Json& json) {
  return OrThrow(ParseSettings(json.dump(), "year"));
}

template <>
std::set<int> To(const Json& json) {
  const auto months = json.get<std::vector<int>>();
  return {months.begin(), months.end()};
}

template <>
YearPart To(const Json& json) {
  return {json.at("name").get<std::string>(),
          {ToDate(json.at("from")), ToDate(json.at("to"))},
          json.at("months").get<std::vector<int>>()};
}

template <>
PartOfDevice To(const Json& json) {
  constexpr PartState kStates[] = {PartState::kHeld, PartState::kFrost, PartState::kNotHeld};
  PartOfDevice part;
  part.state = OrThrow(ParseByWord(json.at("state").get<std::string>(), kStates, "a part's state"));
  part.settings = To<TimerSettings>(json.at("settings"));
  json.at("water_m3").get_to(part.water_m3);
  json.at("words").get_to(part.words);
  if (json.contains("outcome")) {
    part.outcome = OrThrow(OutcomeFromJson(json.at("outcome").dump(), "year"));
  }
  return part;
}

template <>
DeviceYear To(const Json& json) {
  DeviceYear device;
  device.point = To<FlushPoint>(json.at("point"));
  device.parts = ToList<PartOfDevice>(json.at("parts"));
  json.at("water_m3").get_to(device.water_m3);
  json.at("visits").get_to(device.visits);
  json.at("changes").get_to(device.changes);
  for (const Json& least : json.at("least_m3_by_visits")) {
    device.least_m3_by_visits.push_back(least.is_null() ? kMayNotStand : least.get<double>());
  }
  device.notes = Texts(json.at("notes"));
  return device;
}

template <>
SettingsChange To(const Json& json) {
  SettingsChange change;
  change.when = ToDate(json.at("date"));
  change.point = To<PointCode>(json.at("point"));
  change.settings = To<TimerSettings>(json.at("settings"));
  change.percent_only = IntOf(json, "percent_only");
  json.at("on_a_trip").get_to(change.on_a_trip);
  json.at("words").get_to(change.words);
  return change;
}

template <>
FrontierPoint To(const Json& json) {
  return {json.at("visits").get<int>(), json.at("water_m3").get<double>(), json.at("saved_m3").get<double>(),
          CostOf(json)};
}

template <>
NamedPoint To(const Json& json) {
  return {json.at("name").get<std::string>(),
          json.at("water_m3").get<double>(),
          json.at("visits").get<int>(),
          json.at("changes").get<int>(),
          CostOf(json),
          json.at("note").get<std::string>()};
}

template <>
HandFlushPlan To(const Json& json) {
  constexpr HandVerdict kVerdicts[] = {HandVerdict::kNoFlushNeeded, HandVerdict::kFlushEvery,
                                       HandVerdict::kTooOften, HandVerdict::kFlushingIsNotTheAnswer,
                                       HandVerdict::kTooLittleKnown};
  HandFlushPlan plan;
  plan.verdict = OrThrow(ParseByWord(json.at("verdict").get<std::string>(), kVerdicts, "a verdict"));
  json.at("minutes").get_to(plan.minutes);
  json.at("water_m3_a_flush").get_to(plan.water_m3_a_flush);
  plan.days_that_hold = IntOf(json, "days_that_hold");
  plan.days_between = IntOf(json, "days_between");
  json.at("rule_binds").get_to(plan.rule_binds);
  json.at("flushes_per_year").get_to(plan.flushes_per_year);
  json.at("water_m3_per_year").get_to(plan.water_m3_per_year);
  json.at("sureness").get_to(plan.sureness);
  json.at("lowest_mg_per_l").get_to(plan.lowest_mg_per_l);
  plan.reasons = Texts(json.at("reasons"));
  plan.assumed = Texts(json.at("assumed"));
  plan.cautions = Texts(json.at("cautions"));
  return plan;
}

template <>
HandEndYear To(const Json& json) {
  HandEndYear end;
  end.point = To<FlushPoint>(json.at("point"));
  end.year.parts = ToList<HandFlushPlan>(json.at("parts"));
  for (HandFlushPlan& plan : end.year.parts) plan.point = end.point.code;
  json.at("trips").get_to(end.year.trips);
  json.at("water_m3").get_to(end.year.water_m3);
  return end;
}

template <>
DroughtChoice To(const Json& json) {
  return {To<PointCode>(json.at("point")), json.at("on").get<bool>(),
          json.at("water_m3_per_day").get<double>(), json.at("need").get<double>(),
          json.at("reason").get<std::string>()};
}

template <>
DroughtPlan To(const Json& json) {
  DroughtPlan drought;
  json.at("stage").get_to(drought.cap.name);
  json.at("most_m3_per_day").get_to(drought.cap.most_m3_per_day);
  json.at("source").get_to(drought.cap.source);
  drought.choices = ToList<DroughtChoice>(json.at("devices"));
  json.at("fits").get_to(drought.fits);
  json.at("water_m3_per_day").get_to(drought.water_m3_per_day);
  json.at("need_kept").get_to(drought.need_kept);
  json.at("need_given_up").get_to(drought.need_given_up);
  json.at("services_below_target").get_to(drought.services_below_target);
  drought.notes = Texts(json.at("notes"));
  return drought;
}

template <>
PartOnNetwork To(const Json& json) {
  PartOnNetwork part;
  json.at("confirmed").get_to(part.confirmed);
  part.short_at = ToList<PointCode>(json.at("short_at"));
  json.at("greatest_shortfall_mg_per_l").get_to(part.greatest_shortfall_mg_per_l);
  json.at("lowest_pressure_m").get_to(part.lowest_pressure_m);
  json.at("lowest_pressure_at").get_to(part.lowest_pressure_at);
  return part;
}

YearAnswer ToAnswer(const Json& json) {
  YearAnswer answer;
  YearPlan& plan = answer.plan;
  json.at("name").get_to(answer.name);
  json.at("zone").get_to(answer.zone);
  json.at("sureness").get_to(answer.sureness);
  json.at("water_m3").get_to(plan.water_m3);
  json.at("visits").get_to(plan.visits);
  json.at("worth_m3_a_visit").get_to(plan.worth_m3_a_visit);
  plan.cost = CostOf(json);
  if (json.contains("prices")) {
    const Json& prices = json.at("prices");
    answer.prices = YearPrices{prices.at("currency").get<std::string>(), prices.at("per_m3").get<double>(),
                               prices.at("per_visit").get<double>(), prices.at("source").get<std::string>()};
  }
  plan.parts = ToList<YearPart>(json.at("parts"));
  plan.named = ToList<NamedPoint>(json.at("named"));
  plan.frontier = ToList<FrontierPoint>(json.at("frontier"));
  plan.to_begin = ToList<SettingsChange>(json.at("to_begin"));
  plan.changes = ToList<SettingsChange>(json.at("changes"));
  plan.devices = ToList<DeviceYear>(json.at("devices"));
  answer.hand_ends = ToList<HandEndYear>(json.at("hand_ends"));
  answer.drought = ToList<DroughtPlan>(json.at("drought"));
  for (const Json& frost : json.at("frost")) {
    answer.frost[To<PointCode>(frost.at("point"))] = {To<std::set<int>>(frost.at("months")),
                                                      frost.at("source").get<std::string>()};
  }
  for (const Json& trips : json.at("trips")) {
    answer.trip_months[To<PointCode>(trips.at("point"))] = To<std::set<int>>(trips.at("months"));
  }
  answer.on_network = ToList<PartOnNetwork>(json.at("on_network"));
  plan.notes = Texts(json.at("plan_notes"));
  answer.notes = Texts(json.at("notes"));
  return answer;
}

}  // namespace

Result<YearAnswer> YearFromJson(std::string_view json, const std::string& file) {
  try {
    return ToAnswer(Json::parse(json));
  } catch (const std::exception& fault) {
    return BadInput(std::string("this is not a plan of a year: ") + fault.what(), {file, {}, "", ""});
  }
}

}  // namespace lastreach
