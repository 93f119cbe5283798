#include "evidence/expected_water.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "evidence/test_records.h"

namespace lastreach {
namespace {

// By hand: 30 days of one run of 20 minutes at 4 L/s are 600 minutes and 144 m3.
TEST(ExpectedBetween, IsFlowTimesMinutesOfTheCalendar) {
  PointRecords records = TestPoint();
  records.settings = {Recorded(SettingsKind::kAsLeft, At("2026-04-01", 9), Keyed({120}, 20), 0)};
  const ExpectedWater water = ExpectedBetween(records, At("2026-06-01", 12), At("2026-07-01", 12));
  EXPECT_TRUE(water.IsKnown());
  EXPECT_DOUBLE_EQ(water.runs, 30);
  EXPECT_DOUBLE_EQ(water.open_minutes, 600);
  EXPECT_NEAR(water.volume_m3, 144, 1e-9);
  // 5 % of the flow, and 30 runs that scatter by a tenth each.
  EXPECT_NEAR(water.sd_m3, std::hypot(0.05 * 144, 4.8 * 0.1 * std::sqrt(30.0)), 1e-9);
}

TEST(ExpectedBetween, CutsRunsAtItsEndsSoThatPartsAddUp) {
  PointRecords records = TestPoint();
  records.settings = {Recorded(SettingsKind::kAsLeft, At("2026-04-01", 9), Keyed({710, 1430}, 40), 0)};
  const Instant from = At("2026-06-01", 12), middle = At("2026-06-17", 0, 5), to = At("2026-07-01", 12, 3);
  const double whole = ExpectedBetween(records, from, to).volume_m3;
  const double parts =
      ExpectedBetween(records, from, middle).volume_m3 + ExpectedBetween(records, middle, to).volume_m3;
  EXPECT_NEAR(whole, parts, 1e-9);
}

TEST(ExpectedBetween, AChangeNobodyDatedCountsBothByTheirOdds) {
  PointRecords records = TestPoint();
  records.settings = {Recorded(SettingsKind::kAsLeft, At("2026-06-01", 0), Keyed({720}, 10)),
                      Recorded(SettingsKind::kAsFound, At("2026-07-01", 0), Keyed({720}, 30))};
  const ExpectedWater all = ExpectedBetween(records, At("2026-06-01", 0), At("2026-07-01", 0));
  EXPECT_NEAR(all.open_minutes, 30 * 20, 1e-6);
  EXPECT_NEAR(all.runs, 30, 1e-9);
  // Early in the stretch the first still stands, late the second.
  EXPECT_NEAR(ExpectedBetween(records, At("2026-06-01", 0), At("2026-06-02", 0)).open_minutes, 10, 0.5);
  EXPECT_NEAR(ExpectedBetween(records, At("2026-06-30", 0), At("2026-07-01", 0)).open_minutes, 30, 0.5);
  // 300 minutes or 900: even between them is a deviation of 600 / sqrt(12).
  EXPECT_GT(all.sd_m3, 0.24 * 600 / std::sqrt(12.0));
  EXPECT_FALSE(all.notes.empty());
}

TEST(ExpectedBetween, CountsEveryPhaseOfACountNobodyKnows) {
  PointRecords records = TestPoint();
  records.settings = {
      Recorded(SettingsKind::kAsLeft, At("2026-04-01", 9), Keyed({120}, 30, EveryNDays{3, {}}))};
  const ExpectedWater water = ExpectedBetween(records, At("2026-06-01", 12), At("2026-06-11", 12));
  EXPECT_NEAR(water.open_minutes, 10 * 30 / 3.0, 1e-9);
  EXPECT_GT(water.sd_m3, 0.05 * water.volume_m3);
}

TEST(ExpectedBetween, SaysWhatIsNotKnown) {
  PointRecords records = TestPoint();
  records.settings = {Recorded(SettingsKind::kAsLeft, At("2026-06-16", 0), Keyed({120}, 20))};
  const ExpectedWater late = ExpectedBetween(records, At("2026-06-01", 0), At("2026-07-01", 0));
  EXPECT_FALSE(late.IsKnown());
  EXPECT_EQ(late.unknown_s, 15 * 86400);
  EXPECT_NEAR(late.open_minutes, 15 * 20, 1e-9);
  records.point.flow.reset();
  const ExpectedWater dry = ExpectedBetween(records, At("2026-06-20", 0), At("2026-07-01", 0));
  EXPECT_FALSE(dry.IsKnown());
  EXPECT_EQ(dry.volume_m3, 0);
  EXPECT_NEAR(dry.open_minutes, 11 * 20, 1e-9);
}

TEST(ExpectedBetween, ALoggedFlushCountsUnlessItIsARunOfTheTimer) {
  PointRecords records = TestPoint();
  records.settings = {Recorded(SettingsKind::kAsLeft, At("2026-04-01", 9), Keyed({120}, 20), 0)};
  FlushRun by_day;
  by_day.begun = At("2026-06-10", 10);
  by_day.lasted = Duration::Minutes(15);
  FlushRun seen_at_night = by_day;
  seen_at_night.begun = At("2026-06-11", 2, 5);
  records.flush_runs = {by_day, seen_at_night};
  const ExpectedWater water = ExpectedBetween(records, At("2026-06-01", 12), At("2026-07-01", 12));
  EXPECT_NEAR(water.by_hand_m3, 0.004 * 900, 1e-9);
  EXPECT_NEAR(water.volume_m3, 144, 1e-9);
}

TEST(FlowOn, IsThatOfTheLastTestAndGrowsOld) {
  PointRecords records = TestPoint();
  EXPECT_NEAR(FlowOn(records, Day("2026-06-01"))->relative_sd, 0.05, 1e-12);
  FlowTest spring;
  spring.day = Day("2026-03-01");
  spring.flow = Flow::LitresPerSecond(3);
  spring.by = MeasuredBy::kMeter;
  FlowTest summer = spring;
  summer.day = Day("2026-07-01");
  summer.flow = Flow::LitresPerSecond(5);
  records.flow_tests = {spring, summer};
  EXPECT_NEAR(FlowOn(records, Day("2026-06-30"))->flow_m3_per_s, 0.003, 1e-12);
  EXPECT_NEAR(FlowOn(records, Day("2026-07-01"))->flow_m3_per_s, 0.005, 1e-12);
  EXPECT_NEAR(FlowOn(records, Day("2026-01-01"))->flow_m3_per_s, 0.003, 1e-12);
  EXPECT_NEAR(FlowOn(records, Day("2026-07-01"))->relative_sd, 0.02, 1e-12);
  EXPECT_GT(FlowOn(records, Day("2028-07-01"))->relative_sd, 0.10);
  records.flow_tests[1].accuracy = 0.2;
  EXPECT_NEAR(FlowOn(records, Day("2026-07-01"))->relative_sd, 0.2, 1e-12);
}

TEST(RunsInGround, FollowsTheSettingsThroughAVisit) {
  PointRecords records = TestPoint();
  records.settings = {Recorded(SettingsKind::kAsLeft, At("2026-06-01", 9), Keyed({120}, 20), 0),
                      Recorded(SettingsKind::kAsLeft, At("2026-06-03", 9), Keyed({240}, 30), 0)};
  const auto runs = RunsInGround(records, At("2026-06-02", 0), At("2026-06-05", 0));
  ASSERT_EQ(runs.size(), 3U);
  EXPECT_EQ(Instant(runs[0].run.start), At("2026-06-02", 2));
  EXPECT_EQ(Instant(runs[1].run.start), At("2026-06-03", 2));
  EXPECT_EQ(Instant(runs[2].run.start), At("2026-06-04", 4));
  EXPECT_EQ(runs[2].run.minutes, 30);
  EXPECT_EQ(runs[2].odds, 1);
}

TEST(RunsInGround, ARunGoesOnThroughAVisitThatLeavesItAsItWas) {
  PointRecords records = TestPoint();
  records.settings = {Recorded(SettingsKind::kAsLeft, At("2026-06-01", 9), Keyed({480}, 40), 0),
                      Recorded(SettingsKind::kAsFound, At("2026-06-03", 8, 25), Keyed({480}, 40), 0)};
  const auto runs = RunsInGround(records, At("2026-06-03", 0), At("2026-06-04", 0));
  ASSERT_EQ(runs.size(), 1U);
  EXPECT_EQ(Instant(runs[0].run.start), At("2026-06-03", 8));
  EXPECT_EQ(runs[0].run.minutes, 40);
}

TEST(RunsInGround, AClockThatIsFastRunsEarly) {
  PointRecords records = TestPoint();
  records.settings = {Recorded(SettingsKind::kAsLeft, At("2026-06-01", 9), Keyed({120}, 20), 45)};
  const auto runs = RunsInGround(records, At("2026-06-02", 0), At("2026-06-03", 0));
  ASSERT_EQ(runs.size(), 1U);
  EXPECT_EQ(Instant(runs[0].run.start), At("2026-06-02", 1, 15));
}

}  // namespace
}  // namespace lastreach
