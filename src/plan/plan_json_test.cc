#include "plan/plan_json.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

namespace lastreach {
namespace {

MinuteInstant Moment(const char* text) {
  return std::chrono::floor<std::chrono::minutes>(*ParseRfc3339(text));
}

Outcome MadeUpOutcome(double base) {
  Outcome outcome;
  outcome.lowest_mg_per_l = base + 0.1;
  outcome.middle_lowest_mg_per_l = base + 0.2;
  outcome.lowest_at = {7, "service 7 of 12"};
  outcome.lowest_when = Moment("2026-08-03T06:10:00Z");
  outcome.sureness = 0.9 + base / 100;
  outcome.water_m3_per_day = base + 5.4;
  outcome.runs_per_day = base + 1.5;
  outcome.longest_gap_h = base + 11.75;
  outcome.runs_per_year = static_cast<int>(1000 * base);
  return outcome;
}

// Nothing at its default, and no two numbers alike, so that a swapped pair shows.
DevicePlan MadeUpDevice() {
  DevicePlan device;
  device.point.code = PointCode("FP \"14\"/ü");
  device.point.kind = PointKind::kDevice;
  device.point.place = "End of Heron Lane,\nbehind no. 27";
  device.point.supply_zone = "East";
  device.point.controller = "two-dial";
  device.point.flow =
      Sourced<Flow>{Flow::GallonsPerMinute(61),
                    {OriginKind::kMeasured, "R. Doe", *ParseRfc3339("2026-05-04T14:30:00Z"), "drum"}};
  device.point.discharge = DischargeTo::kStormDrain;
  device.point.isolation_valve = "2 m left, 14 turns";
  device.point.meter = "M-77";
  device.point.notes = "wasps";
  device.point.position = Position{-94.25, 38.5};
  device.form.name = "two-dial";
  device.form.programmes = 3;
  device.form.minutes_max = 240;
  device.form.percent_scope = PercentScope::kEach;
  device.form.follows_clock_change = true;
  device.form.overlap = Overlap::kMerge;
  device.verdict = Verdict::kChange;
  device.target_mg_per_l = 0.41;
  device.asked_sureness = 0.91;
  device.settings = {true, 110, {{{70, 790}, 12, kEveryWeekday, {}}, {{300}, 5, EveryNDays{3, {}}, 90}}};
  device.present = TimerSettings{false, 130, {{{75}, 30, Weekdays{0x15}, {}}, {{305}, 6, OddDates{}, {}}}};
  device.planned_outcome = MadeUpOutcome(0.31);
  device.present_outcome = MadeUpOutcome(0.07);
  device.planned_series = {{0, 0.25, 0.5}, {0.9, 0.8, 1.0 / 3}, Moment("2026-07-27T05:00:00Z")};
  device.present_series = {{0, 0.25}, {0.7, 0.1}, Moment("2026-07-28T05:00:00Z")};
  device.bound_m3_per_day = 4.1;
  device.bound_kind = BoundKind::kVerified;
  device.reach = {28.3, 430, 12, 2.4, 1.2, 0.9, 26.5};
  device.binds = {"binds"};
  device.reasons = {"a reason", "another"};
  device.assumed = {"assumed"};
  device.cautions = {"caution"};
  device.calendar_warnings = {"warning"};
  device.next_runs = {{Moment("2026-07-01T07:10:00Z"), 13, 1}, {Moment("2026-07-01T19:10:00Z"), 14, 2}};
  device.volume_a_run = Volume::CubicMetres(2.7);
  device.fast_clock_minutes = -7;
  device.on_network = {0.8, 0.7, 0.41, 0.13, {0.81, 0.8}, true};
  return device;
}

SystemPlan MadeUpPlan() {
  SystemPlan plan;
  plan.zone = "America/Chicago";
  plan.network = {true, {{24, 91.5, 0.07}, {3, 88.25, 0.01}}, 31.5, 28.75, "N17", {}};
  plan.network->together = {
      "all clocks may be wrong", 2, 90.5, 88.5, {"A and B"}, {"C is short"}, {"tank low"}};
  plan.network->closings = {"A and B shut in the same minute"};
  plan.from = *ParseDate("2026-06-01");
  plan.to = *ParseDate("2026-10-01");
  plan.season = "summer 2026";
  DevicePlan bare;
  bare.point.code = PointCode("D2");
  bare.verdict = Verdict::kTooLittleKnown;
  plan.devices = {MadeUpDevice(), bare};
  plan.planned_m3_per_day = 5.71;
  plan.present_m3_per_day = 5.47;
  plan.bound_m3_per_day = 4.1;
  plan.notes = {"a note"};
  return plan;
}

void ExpectSame(const std::optional<Outcome>& a, const std::optional<Outcome>& b) {
  ASSERT_EQ(a.has_value(), b.has_value());
  if (!a) return;
  EXPECT_EQ(a->lowest_mg_per_l, b->lowest_mg_per_l);
  EXPECT_EQ(a->middle_lowest_mg_per_l, b->middle_lowest_mg_per_l);
  EXPECT_EQ(a->lowest_at.number, b->lowest_at.number);
  EXPECT_EQ(a->lowest_at.words, b->lowest_at.words);
  EXPECT_EQ(a->lowest_when, b->lowest_when);
  EXPECT_EQ(a->sureness, b->sureness);
  EXPECT_EQ(a->water_m3_per_day, b->water_m3_per_day);
  EXPECT_EQ(a->runs_per_day, b->runs_per_day);
  EXPECT_EQ(a->longest_gap_h, b->longest_gap_h);
  EXPECT_EQ(a->runs_per_year, b->runs_per_year);
}

void ExpectSame(const ResidualSeries& a, const ResidualSeries& b) {
  EXPECT_EQ(a.hours, b.hours);
  EXPECT_EQ(a.mg_per_l, b.mg_per_l);
  EXPECT_EQ(a.begin, b.begin);
}

void ExpectSame(const FlushPoint& a, FlushPoint b) {
  ASSERT_EQ(a.flow.has_value(), b.flow.has_value());
  if (a.flow) {
    // The key is in L/s: a turn of units may cost the last bit.
    EXPECT_DOUBLE_EQ(a.flow->value.litres_per_second(), b.flow->value.litres_per_second());
    b.flow->value = a.flow->value;
  }
  EXPECT_EQ(a, b);
}

void ExpectSame(const DevicePlan& a, const DevicePlan& b) {
  ExpectSame(a.point, b.point);
  EXPECT_EQ(a.form, b.form);
  EXPECT_EQ(a.verdict, b.verdict);
  EXPECT_EQ(a.target_mg_per_l, b.target_mg_per_l);
  EXPECT_EQ(a.asked_sureness, b.asked_sureness);
  EXPECT_EQ(a.settings, b.settings);
  EXPECT_EQ(a.present, b.present);
  ExpectSame(a.planned_outcome, b.planned_outcome);
  ExpectSame(a.present_outcome, b.present_outcome);
  ExpectSame(a.planned_series, b.planned_series);
  ExpectSame(a.present_series, b.present_series);
  EXPECT_EQ(a.bound_m3_per_day, b.bound_m3_per_day);
  EXPECT_EQ(a.bound_kind, b.bound_kind);
  EXPECT_EQ(a.reach.volume_m3, b.reach.volume_m3);
  EXPECT_EQ(a.reach.length_m, b.reach.length_m);
  EXPECT_EQ(a.reach.services, b.reach.services);
  EXPECT_EQ(a.reach.demand_m3_per_day, b.reach.demand_m3_per_day);
  EXPECT_EQ(a.reach.upstream_mg_per_l, b.reach.upstream_mg_per_l);
  EXPECT_EQ(a.reach.decay_per_day, b.reach.decay_per_day);
  EXPECT_EQ(a.reach.temperature_c, b.reach.temperature_c);
  EXPECT_EQ(a.binds, b.binds);
  EXPECT_EQ(a.reasons, b.reasons);
  EXPECT_EQ(a.assumed, b.assumed);
  EXPECT_EQ(a.cautions, b.cautions);
  EXPECT_EQ(a.calendar_warnings, b.calendar_warnings);
  EXPECT_EQ(a.next_runs, b.next_runs);
  EXPECT_DOUBLE_EQ(a.volume_a_run.cubic_metres(), b.volume_a_run.cubic_metres());
  EXPECT_EQ(a.fast_clock_minutes, b.fast_clock_minutes);
  EXPECT_EQ(a.on_network, b.on_network);
}

TEST(PlanJson, KeepsEverythingOfAPlan) {
  const SystemPlan plan = MadeUpPlan();
  for (const int indent : {2, -1}) {
    const Result<SystemPlan> read = PlanFromJson(PlanToJson(plan, indent), "plan");
    ASSERT_TRUE(read.ok()) << read.error().ToString();
    EXPECT_EQ(read->zone, plan.zone);
    EXPECT_EQ(read->from, plan.from);
    EXPECT_EQ(read->to, plan.to);
    EXPECT_EQ(read->season, plan.season);
    EXPECT_EQ(read->network, plan.network);
    EXPECT_EQ(read->planned_m3_per_day, plan.planned_m3_per_day);
    EXPECT_EQ(read->present_m3_per_day, plan.present_m3_per_day);
    EXPECT_EQ(read->bound_m3_per_day, plan.bound_m3_per_day);
    EXPECT_EQ(read->notes, plan.notes);
    ASSERT_EQ(read->devices.size(), plan.devices.size());
    for (size_t i = 0; i < plan.devices.size(); ++i) ExpectSame(plan.devices[i], read->devices[i]);
  }
}

TEST(PlanJson, WrittenAgainIsTheSameText) {
  const std::string text = PlanToJson(MadeUpPlan());
  EXPECT_EQ(PlanToJson(*PlanFromJson(text, "plan")), text);
}

TEST(PlanJson, OneLineHasNoLineBreak) {
  EXPECT_EQ(PlanToJson(MadeUpPlan(), -1).find('\n'), std::string::npos);
}

TEST(PlanJson, SummaryListsEachDeviceUnderItsVerdict) {
  const auto json = nlohmann::json::parse(PlanToJson(MadeUpPlan()));
  const auto& verdicts = json.at("summary").at("verdicts");
  EXPECT_EQ(verdicts.size(), 6U);
  EXPECT_EQ(verdicts.at("change"), nlohmann::json::array({"FP \"14\"/ü"}));
  EXPECT_EQ(verdicts.at("too little known"), nlohmann::json::array({"D2"}));
  EXPECT_TRUE(verdicts.at("keep").empty());
}

// The words are stored in project files.
TEST(PlanJson, VerdictsReadBackFromTheirWords) {
  const std::pair<Verdict, const char*> words[] = {
      {Verdict::kChange, "change"},
      {Verdict::kKeep, "keep"},
      {Verdict::kNoFlushNeeded, "no flush needed"},
      {Verdict::kFlushingIsNotTheAnswer, "flushing is not the answer"},
      {Verdict::kCannotHold, "cannot hold"},
      {Verdict::kTooLittleKnown, "too little known"}};
  for (const auto& [verdict, text] : words) {
    EXPECT_EQ(ToText(verdict), text);
    EXPECT_EQ(*ParseVerdict(text), verdict);
  }
  EXPECT_FALSE(ParseVerdict("maybe").ok());
}

// Any item taken out or of another type must be told in one line, naming the file.
TEST(PlanJson, RefusesAPlanWithAnItemMissingOrMistyped) {
  const auto whole = nlohmann::ordered_json::parse(PlanToJson(MadeUpPlan()));
  std::vector<nlohmann::ordered_json> broken;
  for (const auto& [key, value] : whole.items()) {
    if (key == "network") continue;  // a plan without a map has none
    broken.push_back(whole);
    broken.back().erase(key);
  }
  // All keys of a device that are always written.
  for (const auto& [key, value] : whole.at("devices")[1].items()) {
    broken.push_back(whole);
    broken.back()["devices"][1].erase(key);
    broken.push_back(whole);
    broken.back()["devices"][1][key] = nlohmann::ordered_json::array({nlohmann::ordered_json::object()});
  }
  for (const auto& json : broken) {
    const Result<SystemPlan> read = PlanFromJson(json.dump(), "town.gpkg");
    ASSERT_FALSE(read.ok()) << json.dump(2);
    EXPECT_EQ(read.error().place.file, "town.gpkg");
    EXPECT_EQ(read.error().ToString().find('\n'), std::string::npos);
    EXPECT_EQ(ExitCodeOf(read.error().code), 2);
  }
  for (const char* text : {"", "{", "[]", "null", "{\"devices\": []}"}) {
    EXPECT_FALSE(PlanFromJson(text, "town.gpkg").ok()) << text;
  }
}

}  // namespace
}  // namespace lastreach
