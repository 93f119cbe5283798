#include "plan/plan_json.h"

#include <nlohmann/json.hpp>

#include "calendar/settings_json.h"
#include "core/words.h"

namespace lastreach {
namespace {

using Json = nlohmann::ordered_json;
using std::chrono::minutes;

constexpr const char* kProvenText = "proven";
constexpr const char* kVerifiedText = "verified, not proven";

std::string TimeText(MinuteInstant t) { return FormatRfc3339(Instant(t), std::chrono::seconds(0)); }

Json JsonOf(const TapName& tap) { return {{"number", tap.number}, {"words", tap.words}}; }

Json JsonOf(const Outcome& outcome) {
  return {{"lowest_mg_per_l", outcome.lowest_mg_per_l},
          {"middle_lowest_mg_per_l", outcome.middle_lowest_mg_per_l},
          {"lowest_at", JsonOf(outcome.lowest_at)},
          {"lowest_when", TimeText(outcome.lowest_when)},
          {"sureness", outcome.sureness},
          {"water_m3_per_day", outcome.water_m3_per_day},
          {"runs_per_day", outcome.runs_per_day},
          {"longest_gap_h", outcome.longest_gap_h},
          {"runs_per_year", outcome.runs_per_year}};
}

Json JsonOf(const ResidualSeries& series) {
  return {{"begin", TimeText(series.begin)}, {"hours", series.hours}, {"mg_per_l", series.mg_per_l}};
}

Json JsonOf(const ReachSummary& reach) {
  return {{"volume_m3", reach.volume_m3},
          {"length_m", reach.length_m},
          {"services", reach.services},
          {"demand_m3_per_day", reach.demand_m3_per_day},
          {"upstream_mg_per_l", reach.upstream_mg_per_l},
          {"decay_per_day", reach.decay_per_day},
          {"temperature_c", reach.temperature_c}};
}

Json JsonOf(const NetworkView& view) {
  return {{"root_mg_per_l", view.root_mg_per_l},
          {"root_now_mg_per_l", view.root_now_mg_per_l},
          {"lowest_mg_per_l", view.lowest_mg_per_l},
          {"lowest_now_mg_per_l", view.lowest_now_mg_per_l},
          {"counted_on_mg_per_l", view.counted_on_mg_per_l},
          {"confirmed", view.confirmed}};
}

Json JsonOf(const ArrangementSummary& together) {
  return {{"care", together.care},
          {"moved", together.moved},
          {"water_m3_per_day", together.water_m3_per_day},
          {"bound_m3_per_day", together.bound_m3_per_day},
          {"conflicts", together.conflicts},
          {"cautions", together.cautions},
          {"week", together.week}};
}

Json JsonOf(const NetworkSummary& network) {
  Json json = {{"confirmed", network.confirmed},
               {"lowest_pressure_m", network.lowest_pressure_m},
               {"lowest_pressure_now_m", network.lowest_pressure_now_m},
               {"lowest_pressure_at", network.lowest_pressure_at},
               {"rounds", Json::array()}};
  if (network.together) json["together"] = JsonOf(*network.together);
  json["closings"] = network.closings;
  for (const NetworkRound& round : network.rounds) {
    json["rounds"].push_back({{"planned", round.planned},
                              {"water_m3_per_day", round.water_m3_per_day},
                              {"greatest_shortfall_mg_per_l", round.greatest_shortfall_mg_per_l}});
  }
  return json;
}

Json JsonOf(const FlushPoint& point) {
  Json json = {{"code", point.code.text()},
               {"kind", ToText(point.kind)},
               {"place", point.place},
               {"supply_zone", point.supply_zone},
               {"controller", point.controller},
               {"discharge_to", ToText(point.discharge)},
               {"isolation_valve", point.isolation_valve},
               {"meter", point.meter},
               {"notes", point.notes}};
  if (point.flow) {
    json["flow_l_per_s"] = point.flow->value.litres_per_second();
    json["flow_origin"] = ToText(point.flow->origin.kind);
    json["flow_method"] = point.flow->origin.note;
    json["flow_by"] = point.flow->origin.by;
    if (point.flow->origin.when) {
      json["flow_when"] = FormatRfc3339(*point.flow->origin.when, std::chrono::seconds(0));
    }
  }
  if (point.position) json["position"] = {point.position->longitude_deg, point.position->latitude_deg};
  return json;
}

Json JsonOf(const DevicePlan& device) {
  Json json = JsonOf(device.point);
  json["verdict"] = ToText(device.verdict);
  json["target_mg_per_l"] = device.target_mg_per_l;
  json["asked_sureness"] = device.asked_sureness;
  if (device.stopped_early) json["stopped_early"] = true;
  json["timer"] = Json::parse(FormToJson(device.form));
  json["settings"] = Json::parse(SettingsToJson(device.settings));
  if (device.present) json["present_settings"] = Json::parse(SettingsToJson(*device.present));
  if (device.planned_outcome) json["planned"] = JsonOf(*device.planned_outcome);
  if (device.present_outcome) json["present"] = JsonOf(*device.present_outcome);
  json["bound_m3_per_day"] = device.bound_m3_per_day;
  json["bound"] = device.bound_kind == BoundKind::kProven ? kProvenText : kVerifiedText;
  json["reach"] = JsonOf(device.reach);
  if (device.on_network) json["on_network"] = JsonOf(*device.on_network);
  json["binds"] = device.binds;
  json["reasons"] = device.reasons;
  json["assumed"] = device.assumed;
  json["cautions"] = device.cautions;
  json["calendar_warnings"] = device.calendar_warnings;
  json["volume_a_run_m3"] = device.volume_a_run.cubic_metres();
  json["present_clock_fast_minutes"] = device.fast_clock_minutes;
  json["next_runs"] = Json::array();
  for (const Run& run : device.next_runs) {
    json["next_runs"].push_back(
        {{"start", TimeText(run.start)}, {"minutes", run.minutes}, {"programme", run.programme}});
  }
  json["planned_series"] = JsonOf(device.planned_series);
  json["present_series"] = JsonOf(device.present_series);
  return json;
}

// Throws what the library throws on a missing or mistyped item; PlanFromJson turns that into an error.
MinuteInstant TimeOf(const Json& json) {
  const Result<Instant> time = ParseRfc3339(json.get<std::string>());
  if (!time.ok()) throw std::invalid_argument(time.error().ToString());
  return std::chrono::floor<minutes>(*time);
}

template <typename T>
T Must(Result<T> result) {
  if (!result.ok()) throw std::invalid_argument(result.error().ToString());
  return *std::move(result);
}

BoundKind BoundKindOf(const std::string& text) {
  if (text != kProvenText && text != kVerifiedText) throw std::invalid_argument("no kind of bound: " + text);
  return text == kProvenText ? BoundKind::kProven : BoundKind::kVerified;
}

Outcome OutcomeOf(const Json& json) {
  Outcome outcome;
  json.at("lowest_mg_per_l").get_to(outcome.lowest_mg_per_l);
  json.at("middle_lowest_mg_per_l").get_to(outcome.middle_lowest_mg_per_l);
  json.at("lowest_at").at("number").get_to(outcome.lowest_at.number);
  json.at("lowest_at").at("words").get_to(outcome.lowest_at.words);
  outcome.lowest_when = TimeOf(json.at("lowest_when"));
  json.at("sureness").get_to(outcome.sureness);
  json.at("water_m3_per_day").get_to(outcome.water_m3_per_day);
  json.at("runs_per_day").get_to(outcome.runs_per_day);
  json.at("longest_gap_h").get_to(outcome.longest_gap_h);
  json.at("runs_per_year").get_to(outcome.runs_per_year);
  return outcome;
}

ResidualSeries SeriesOf(const Json& json) {
  ResidualSeries series;
  series.begin = TimeOf(json.at("begin"));
  json.at("hours").get_to(series.hours);
  json.at("mg_per_l").get_to(series.mg_per_l);
  return series;
}

FlushPoint PointOf(const Json& json) {
  FlushPoint point;
  point.code = PointCode(json.at("code").get<std::string>());
  point.kind = Must(ParsePointKind(json.at("kind").get<std::string>()));
  json.at("place").get_to(point.place);
  json.at("supply_zone").get_to(point.supply_zone);
  json.at("controller").get_to(point.controller);
  point.discharge = Must(ParseDischargeTo(json.at("discharge_to").get<std::string>()));
  json.at("isolation_valve").get_to(point.isolation_valve);
  json.at("meter").get_to(point.meter);
  json.at("notes").get_to(point.notes);
  if (json.contains("flow_l_per_s")) {
    point.flow.emplace();
    point.flow->value = Flow::LitresPerSecond(json.at("flow_l_per_s").get<double>());
    point.flow->origin.kind = Must(ParseOriginKind(json.at("flow_origin").get<std::string>()));
    json.at("flow_method").get_to(point.flow->origin.note);
    // Plans kept before these two were written have neither.
    point.flow->origin.by = json.value("flow_by", "");
    if (json.contains("flow_when")) {
      point.flow->origin.when = Must(ParseRfc3339(json.at("flow_when").get<std::string>()));
    }
  }
  if (json.contains("position")) {
    point.position =
        Position{json.at("position").at(0).get<double>(), json.at("position").at(1).get<double>()};
  }
  return point;
}

ReachSummary ReachOf(const Json& json) {
  ReachSummary reach;
  json.at("volume_m3").get_to(reach.volume_m3);
  json.at("length_m").get_to(reach.length_m);
  json.at("services").get_to(reach.services);
  json.at("demand_m3_per_day").get_to(reach.demand_m3_per_day);
  json.at("upstream_mg_per_l").get_to(reach.upstream_mg_per_l);
  json.at("decay_per_day").get_to(reach.decay_per_day);
  json.at("temperature_c").get_to(reach.temperature_c);
  return reach;
}

NetworkView ViewOf(const Json& json) {
  NetworkView view;
  json.at("root_mg_per_l").get_to(view.root_mg_per_l);
  json.at("root_now_mg_per_l").get_to(view.root_now_mg_per_l);
  json.at("lowest_mg_per_l").get_to(view.lowest_mg_per_l);
  json.at("lowest_now_mg_per_l").get_to(view.lowest_now_mg_per_l);
  json.at("counted_on_mg_per_l").get_to(view.counted_on_mg_per_l);
  json.at("confirmed").get_to(view.confirmed);
  return view;
}

ArrangementSummary ArrangementOf(const Json& json) {
  ArrangementSummary together;
  json.at("care").get_to(together.care);
  json.at("moved").get_to(together.moved);
  json.at("water_m3_per_day").get_to(together.water_m3_per_day);
  json.at("bound_m3_per_day").get_to(together.bound_m3_per_day);
  json.at("conflicts").get_to(together.conflicts);
  json.at("cautions").get_to(together.cautions);
  if (json.contains("week")) json.at("week").get_to(together.week);
  return together;
}

NetworkSummary NetworkOf(const Json& json) {
  NetworkSummary network;
  json.at("confirmed").get_to(network.confirmed);
  json.at("lowest_pressure_m").get_to(network.lowest_pressure_m);
  json.at("lowest_pressure_now_m").get_to(network.lowest_pressure_now_m);
  json.at("lowest_pressure_at").get_to(network.lowest_pressure_at);
  if (json.contains("together")) network.together = ArrangementOf(json.at("together"));
  if (json.contains("closings")) json.at("closings").get_to(network.closings);
  for (const Json& round : json.at("rounds")) {
    network.rounds.push_back({round.at("planned").get<size_t>(), round.at("water_m3_per_day").get<double>(),
                              round.at("greatest_shortfall_mg_per_l").get<double>()});
  }
  return network;
}

DevicePlan DeviceOf(const Json& json) {
  DevicePlan device;
  device.point = PointOf(json);
  device.verdict = Must(ParseVerdict(json.at("verdict").get<std::string>()));
  json.at("target_mg_per_l").get_to(device.target_mg_per_l);
  json.at("asked_sureness").get_to(device.asked_sureness);
  device.stopped_early = json.value("stopped_early", false);
  device.form = Must(ParseForm(json.at("timer").dump(), "plan"));
  device.settings = Must(ParseSettings(json.at("settings").dump(), "plan"));
  if (json.contains("present_settings")) {
    device.present = Must(ParseSettings(json.at("present_settings").dump(), "plan"));
  }
  if (json.contains("planned")) device.planned_outcome = OutcomeOf(json.at("planned"));
  if (json.contains("present")) device.present_outcome = OutcomeOf(json.at("present"));
  json.at("bound_m3_per_day").get_to(device.bound_m3_per_day);
  device.bound_kind = BoundKindOf(json.at("bound").get<std::string>());
  device.reach = ReachOf(json.at("reach"));
  if (json.contains("on_network")) device.on_network = ViewOf(json.at("on_network"));
  json.at("binds").get_to(device.binds);
  json.at("reasons").get_to(device.reasons);
  json.at("assumed").get_to(device.assumed);
  json.at("cautions").get_to(device.cautions);
  json.at("calendar_warnings").get_to(device.calendar_warnings);
  device.volume_a_run = Volume::CubicMetres(json.at("volume_a_run_m3").get<double>());
  json.at("present_clock_fast_minutes").get_to(device.fast_clock_minutes);
  for (const Json& run : json.at("next_runs")) {
    device.next_runs.push_back(
        {TimeOf(run.at("start")), run.at("minutes").get<int32_t>(), run.at("programme").get<int32_t>()});
  }
  device.planned_series = SeriesOf(json.at("planned_series"));
  device.present_series = SeriesOf(json.at("present_series"));
  return device;
}

constexpr Verdict kVerdicts[] = {Verdict::kChange,        Verdict::kKeep,
                                 Verdict::kNoFlushNeeded, Verdict::kFlushingIsNotTheAnswer,
                                 Verdict::kCannotHold,    Verdict::kTooLittleKnown};

Json SummaryOf(const SystemPlan& plan) {
  Json summary = {{"planned_m3_per_day", plan.planned_m3_per_day},
                  {"present_m3_per_day", plan.present_m3_per_day},
                  {"bound_m3_per_day", plan.bound_m3_per_day},
                  {"notes", plan.notes}};
  for (const Verdict verdict : kVerdicts) {
    Json codes = Json::array();
    for (const DevicePlan& device : plan.devices) {
      if (device.verdict == verdict) codes.push_back(device.point.code.text());
    }
    summary["verdicts"][std::string(ToText(verdict))] = codes;
  }
  return summary;
}

}  // namespace

std::string_view ToText(Verdict verdict) {
  switch (verdict) {
    case Verdict::kChange:
      return "change";
    case Verdict::kKeep:
      return "keep";
    case Verdict::kNoFlushNeeded:
      return "no flush needed";
    case Verdict::kFlushingIsNotTheAnswer:
      return "flushing is not the answer";
    case Verdict::kCannotHold:
      return "cannot hold";
    case Verdict::kTooLittleKnown:
      return "too little known";
  }
  return "too little known";
}

Result<Verdict> ParseVerdict(std::string_view text) { return ParseByWord(text, kVerdicts, "a verdict"); }

std::string PlanToJson(const SystemPlan& plan, int indent) {
  Json json = {{"season", plan.season}, {"from", FormatDate(plan.from)}, {"to", FormatDate(plan.to)},
               {"zone", plan.zone},     {"summary", SummaryOf(plan)},    {"devices", Json::array()}};
  if (plan.network) json["network"] = JsonOf(*plan.network);
  for (const DevicePlan& device : plan.devices) json["devices"].push_back(JsonOf(device));
  return json.dump(indent);
}

std::string PointToJson(const FlushPoint& point) { return JsonOf(point).dump(); }

Result<FlushPoint> PointFromJson(std::string_view text, const std::string& file) {
  try {
    return PointOf(Json::parse(text));
  } catch (const std::exception& fault) {
    return BadInput(std::string("this is not a flush point: ") + fault.what(), {file, {}, "", ""});
  }
}

std::string OutcomeToJson(const Outcome& outcome) { return JsonOf(outcome).dump(); }

Result<Outcome> OutcomeFromJson(std::string_view text, const std::string& file) {
  try {
    return OutcomeOf(Json::parse(text));
  } catch (const std::exception& fault) {
    return BadInput(std::string("this is not an outcome: ") + fault.what(), {file, {}, "", ""});
  }
}

Result<SystemPlan> PlanFromJson(std::string_view text, const std::string& file) {
  try {
    const Json json = Json::parse(text);
    SystemPlan plan;
    json.at("season").get_to(plan.season);
    json.at("zone").get_to(plan.zone);
    plan.from = Must(ParseDate(json.at("from").get<std::string>()));
    plan.to = Must(ParseDate(json.at("to").get<std::string>()));
    const Json& summary = json.at("summary");
    summary.at("planned_m3_per_day").get_to(plan.planned_m3_per_day);
    summary.at("present_m3_per_day").get_to(plan.present_m3_per_day);
    summary.at("bound_m3_per_day").get_to(plan.bound_m3_per_day);
    summary.at("notes").get_to(plan.notes);
    if (json.contains("network")) plan.network = NetworkOf(json.at("network"));
    for (const Json& device : json.at("devices")) plan.devices.push_back(DeviceOf(device));
    return plan;
  } catch (const std::exception& fault) {
    return BadInput(std::string("this is not a plan: ") + fault.what(), {file, {}, "", ""});
  }
}

}  // namespace lastreach
