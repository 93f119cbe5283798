#include "year/year_json.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace lastreach {
namespace {

// A year with every item filled in, none of them like another.
YearAnswer FullAnswer() {
  YearAnswer answer;
  answer.name = "April 2026 to March 2027";
  answer.zone = "America/Chicago";
  answer.sureness = 0.85;
  answer.prices = YearPrices{"USD", 1.25, 80, "town office"};
  YearPlan& plan = answer.plan;
  plan.parts = PartsOfYear(*ParseDate("2026-04-01"), YearDivision::kSeasons, false, {11});
  plan.water_m3 = 812.5;
  plan.visits = 3;
  plan.cost = 1255.625;
  plan.worth_m3_a_visit = 64;
  plan.notes = {"a note of the plan"};
  DeviceYear device;
  device.point.code = PointCode("D1");
  device.point.place = "End of Alder Way";
  device.point.flow = Sourced<Flow>{Flow::LitresPerSecond(2), {OriginKind::kMeasured, "crew", {}, "bucket"}};
  PartOfDevice part;
  part.settings =
      TimerSettings{true, 60, {{{70, 790}, 12, EveryNDays{3, ParseDate("2026-04-01").value()}, {}}}};
  part.water_m3 = 190.25;
  part.outcome =
      Outcome{0.43, 0.5, {2, "service 2 of 6"}, MinuteInstant(std::chrono::minutes(29600000)), 0.93, 1.5, 2,
              11.5, 730};
  PartOfDevice frost;
  frost.state = PartState::kFrost;
  frost.settings.on = false;
  frost.words = "off for frost";
  PartOfDevice not_held = part;
  not_held.state = PartState::kNotHeld;
  device.parts = {part, frost, not_held};
  device.water_m3 = 812.5;
  device.visits = 2;
  device.changes = 3;
  device.least_m3_by_visits = {kMayNotStand, 900, 812.5};
  device.notes = {"a note of the device"};
  plan.devices = {device};
  SettingsChange change{*ParseDate("2026-06-01"), PointCode("D1"), part.settings, 60, true,
                        "percentage to 60 %"};
  plan.changes = {change};
  change.percent_only.reset();
  change.on_a_trip = false;
  plan.to_begin = {change};
  plan.frontier = {{1, 900, 0, 1205.0}, {2, 812.5, 87.5, {}}};
  plan.named = {{"percentage only", 905, 1, 4, 1211.25, "not for D2"}};
  HandEndYear hand;
  hand.point.code = PointCode("H1");
  HandFlushPlan flush;
  flush.point = hand.point.code;
  flush.verdict = HandVerdict::kFlushEvery;
  flush.minutes = 25;
  flush.water_m3_a_flush = 3.5;
  flush.days_that_hold = 40;
  flush.days_between = 31;
  flush.rule_binds = true;
  flush.flushes_per_year = 12;
  flush.water_m3_per_year = 42;
  flush.sureness = 0.97;
  flush.lowest_mg_per_l = 0.41;
  flush.reasons = {"reason"};
  flush.assumed = {"assumed"};
  flush.cautions = {"caution"};
  HandFlushPlan none;
  none.point = hand.point.code;
  hand.year = {{flush, none}, 8, 30.5};
  answer.hand_ends = {hand};
  DroughtPlan drought;
  drought.cap = {"stage 2", 12, "ordinance 7"};
  drought.choices = {{PointCode("D1"), false, 1.5, 2.25, "shut by the order given"}};
  drought.fits = false;
  drought.water_m3_per_day = 13;
  drought.need_kept = 5;
  drought.need_given_up = 2.25;
  drought.services_below_target = 6;
  drought.notes = {"a note of the stage"};
  answer.drought = {drought};
  answer.frost[PointCode("D1")] = {{11, 12, 1}, "rule 7"};
  answer.trip_months[PointCode("D1")] = {3, 9};
  answer.on_network = {{false, {PointCode("D1")}, 0.07, 31.5, "Alder Way"}};
  answer.notes = {"a note of the answer"};
  return answer;
}

TEST(YearJson, WhatIsWrittenComesBack) {
  const YearAnswer answer = FullAnswer();
  const std::string text = YearToJson(answer);
  const Result<YearAnswer> read = YearFromJson(text, "year");
  ASSERT_TRUE(read.ok()) << read.error().ToString();
  EXPECT_EQ(YearToJson(*read), text);
  // What the text could leave out on both ways.
  const DeviceYear& device = read->plan.devices.at(0);
  const DeviceYear& written = answer.plan.devices[0];
  EXPECT_EQ(device.point, written.point);
  EXPECT_EQ(device.parts.at(0).settings, written.parts[0].settings);
  EXPECT_EQ(device.parts[0].outcome->lowest_when, written.parts[0].outcome->lowest_when);
  EXPECT_EQ(device.parts[1].state, PartState::kFrost);
  EXPECT_FALSE(device.parts[1].outcome.has_value());
  EXPECT_EQ(device.parts[2].state, PartState::kNotHeld);
  EXPECT_EQ(device.least_m3_by_visits, written.least_m3_by_visits);
  EXPECT_EQ(device.changes, 3);
  EXPECT_EQ(read->plan.parts[2].days.from, answer.plan.parts[2].days.from);
  EXPECT_EQ(read->plan.parts[2].months, answer.plan.parts[2].months);
  EXPECT_EQ(read->plan.cost, answer.plan.cost);
  EXPECT_EQ(read->plan.changes.at(0).percent_only, 60);
  EXPECT_TRUE(read->plan.changes[0].on_a_trip);
  EXPECT_FALSE(read->plan.to_begin.at(0).percent_only.has_value());
  EXPECT_EQ(read->plan.frontier.at(1).saved_m3, 87.5);
  EXPECT_FALSE(read->plan.frontier[1].cost.has_value());
  EXPECT_EQ(read->plan.named.at(0).note, "not for D2");
  EXPECT_EQ(read->hand_ends.at(0).year.parts.at(0).days_between, 31);
  EXPECT_EQ(read->hand_ends[0].year.parts.at(1).verdict, HandVerdict::kTooLittleKnown);
  EXPECT_FALSE(read->hand_ends[0].year.parts[1].days_that_hold.has_value());
  EXPECT_EQ(read->hand_ends[0].year.trips, 8);
  EXPECT_EQ(read->drought.at(0).choices.at(0).reason, "shut by the order given");
  EXPECT_FALSE(read->drought[0].fits);
  EXPECT_EQ(read->frost.at(PointCode("D1")).months, (std::set<int>{1, 11, 12}));
  EXPECT_EQ(read->trip_months, answer.trip_months);
  EXPECT_EQ(read->on_network.at(0).short_at.at(0), PointCode("D1"));
  EXPECT_EQ(read->prices->per_visit, 80);
  EXPECT_EQ(read->plan.notes, answer.plan.notes);
  EXPECT_EQ(read->notes, answer.notes);
}

TEST(YearJson, WhatIsNoYearIsRefusedInOneLine) {
  for (const char* text : {"", "[]", "{\"name\": 3}"}) {
    const Result<YearAnswer> read = YearFromJson(text, "town.gpkg");
    ASSERT_FALSE(read.ok());
    EXPECT_THAT(read.error().ToString(), ::testing::HasSubstr("town.gpkg: this is not a plan of a year"));
    EXPECT_THAT(read.error().ToString(), ::testing::Not(::testing::HasSubstr("\n")));
  }
  std::string text = YearToJson(FullAnswer());
  text.replace(text.find("\"frost\""), 7, "\"thaw!\"");
  EXPECT_FALSE(YearFromJson(text, "town.gpkg").ok());
}

}  // namespace
}  // namespace lastreach
