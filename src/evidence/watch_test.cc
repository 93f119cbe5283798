#include "evidence/watch.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>

#include "evidence/residual_trend.h"
#include "evidence/test_records.h"

namespace lastreach {
namespace {

using ::testing::HasSubstr;
using ::testing::IsEmpty;

// A device of which everything is in order on 1 July.
WatchFacts InOrder() {
  WatchFacts facts;
  facts.records = TestPoint();
  facts.records.settings = {Recorded(SettingsKind::kAsLeft, At("2026-06-01", 9), Keyed({120}, 30), 0)};
  facts.supply.target_residual = Sourced<Concentration>{Concentration::MilligramsPerLitre(0.4), {}};
  Visit visit;
  visit.arrived = At("2026-06-20", 9);
  visit.new_battery = true;
  visit.dechlorination_refilled = true;
  facts.records.visits = {visit};
  FlowTest test;
  test.day = Day("2026-06-01");
  test.flow = Flow::LitresPerSecond(4);
  facts.records.flow_tests = {test};
  facts.records.point.dechlorination = "tablets";
  return facts;
}

WatchOptions OnFirstOfJuly() {
  WatchOptions options;
  options.today = Day("2026-07-01");
  return options;
}

void AddSample(WatchFacts& facts, const char* day, int hour, double mg_per_l,
               Analyte analyte = Analyte::kFreeChlorine, bool below = false) {
  Sample sample;
  sample.day = Day(day);
  sample.minute_of_day = 60 * hour;
  sample.residual = Concentration::MilligramsPerLitre(mg_per_l);
  sample.analyte = analyte;
  sample.below_detection = below;
  facts.records.samples.push_back(sample);
}

std::vector<WatchKind> KindsOf(const std::vector<WatchItem>& items) {
  std::vector<WatchKind> kinds;
  for (const WatchItem& item : items) kinds.push_back(item.kind);
  return kinds;
}

TEST(Watch, SaysNothingWhereAllIsInOrder) {
  WatchFacts facts = InOrder();
  AddSample(facts, "2026-06-25", 3, 0.9);
  AddSample(facts, "2026-06-26", 23, 0.5);
  EXPECT_THAT(Watch(facts, OnFirstOfJuly()), IsEmpty());
}

TEST(Watch, LowAfterAFullRunIsAnotherTroubleThanLowBeforeTheNext) {
  WatchFacts facts = InOrder();
  AddSample(facts, "2026-06-25", 23, 0.3);  // the next run is at 02:00
  EXPECT_EQ(KindsOf(Watch(facts, OnFirstOfJuly())), std::vector{WatchKind::kLowBeforeRun});
  AddSample(facts, "2026-06-26", 3, 0.3);  // half an hour after the run
  const auto both = Watch(facts, OnFirstOfJuly());
  EXPECT_EQ(KindsOf(both), (std::vector{WatchKind::kLowAfterRun, WatchKind::kLowBeforeRun}));
  EXPECT_THAT(both[0].what_to_do, HasSubstr("will not help"));
  // A good one since then takes it back.
  AddSample(facts, "2026-06-27", 3, 0.8);
  EXPECT_EQ(KindsOf(Watch(facts, OnFirstOfJuly())), std::vector{WatchKind::kLowBeforeRun});
}

TEST(Watch, AFallThatReachesTheTargetSoonIsTold) {
  WatchFacts facts = InOrder();
  const char* days[] = {"2026-05-20", "2026-05-28", "2026-06-05", "2026-06-13", "2026-06-21", "2026-06-29"};
  double mg_per_l = 1.0;
  for (const char* day : days) AddSample(facts, day, 10, mg_per_l -= 0.08);
  const auto items = Watch(facts, OnFirstOfJuly());
  ASSERT_EQ(KindsOf(items), std::vector{WatchKind::kFalling});
  // 0.01 a day from 0.52 on 29 June: 0.4 twelve days later.
  EXPECT_LE(std::abs(DayNumber(*items[0].due) - DayNumber(Day("2026-07-11"))), 1);
  WatchFacts steady = InOrder();
  for (const char* day : days) AddSample(steady, day, 10, day[9] % 2 == 0 ? 0.5 : 0.6);
  EXPECT_THAT(Watch(steady, OnFirstOfJuly()), IsEmpty());
}

TEST(Watch, SignsOfNitrificationAreCountedInTheirOrder) {
  WatchFacts facts = InOrder();
  facts.supply.disinfectant = Disinfectant::kChloramine;
  facts.supply.target_residual->value = Concentration::MilligramsPerLitre(0.5);
  const char* days[] = {"2026-05-20", "2026-05-28", "2026-06-05", "2026-06-13", "2026-06-21", "2026-06-29"};
  double mg_per_l = 2.4;
  for (const char* day : days) AddSample(facts, day, 10, mg_per_l -= 0.1, Analyte::kTotalChlorine);
  auto items = Watch(facts, OnFirstOfJuly());
  ASSERT_EQ(KindsOf(items), std::vector{WatchKind::kNitrification});
  EXPECT_THAT(items[0].sentence, HasSubstr("1 sign of"));
  WatchFacts well = facts;
  AddSample(well, "2026-06-29", 10, 0.01, Analyte::kNitrite);
  AddSample(well, "2026-06-29", 10, 0.05, Analyte::kFreeAmmonia);
  WatchOptions both = OnFirstOfJuly();
  both.nitrite_mg_n_per_l = 0.02;
  both.free_ammonia_mg_n_per_l = 0.1;
  EXPECT_THAT(Watch(well, both), IsEmpty());
  AddSample(facts, "2026-06-29", 10, 0.05, Analyte::kNitrite);
  // No threshold given, none used.
  EXPECT_THAT(Watch(facts, OnFirstOfJuly())[0].sentence, HasSubstr("1 sign of"));
  WatchOptions options = OnFirstOfJuly();
  options.nitrite_mg_n_per_l = 0.02;
  items = Watch(facts, options);
  EXPECT_THAT(items[0].sentence, HasSubstr("2 signs of"));
  EXPECT_THAT(items[0].sentence, HasSubstr("nitrite 0.05 mg/L as N on 2026-06-29"));
}

TEST(Watch, TemporarySettingsAreToldBeforeAndAfterTheirDay) {
  WatchFacts facts = InOrder();
  facts.records.settings[0].why = "free-chlorine weeks";
  facts.records.settings[0].revert_by = Day("2026-07-10");
  auto items = Watch(facts, OnFirstOfJuly());
  ASSERT_EQ(KindsOf(items), std::vector{WatchKind::kTemporary});
  EXPECT_FALSE(items[0].overdue);
  EXPECT_THAT(items[0].sentence, HasSubstr("free-chlorine weeks"));
  facts.records.settings[0].revert_by = Day("2026-06-15");
  EXPECT_TRUE(Watch(facts, OnFirstOfJuly())[0].overdue);
  facts.records.settings[0].revert_by = Day("2026-09-15");
  EXPECT_THAT(Watch(facts, OnFirstOfJuly()), IsEmpty());
  // Found just so later: still not put back. Left otherwise: done.
  facts.records.settings[0].revert_by = Day("2026-06-15");
  SettingsRecord found = Recorded(SettingsKind::kAsFound, At("2026-06-20", 9), Keyed({120}, 30));
  facts.records.settings.push_back(found);
  EXPECT_EQ(KindsOf(Watch(facts, OnFirstOfJuly())), std::vector{WatchKind::kTemporary});
  facts.records.settings.push_back(Recorded(SettingsKind::kAsLeft, At("2026-06-20", 10), Keyed({120}, 10)));
  EXPECT_THAT(Watch(facts, OnFirstOfJuly()), IsEmpty());
}

TEST(Watch, OffNeedsAReasonAndAnEnd) {
  WatchFacts facts = InOrder();
  facts.records.settings[0].settings.on = false;
  EXPECT_EQ(KindsOf(Watch(facts, OnFirstOfJuly())), std::vector{WatchKind::kOffUnexplained});
  facts.records.settings[0].why = "road works";
  EXPECT_EQ(KindsOf(Watch(facts, OnFirstOfJuly())), std::vector{WatchKind::kOffUnexplained});
  facts.records.settings[0].revert_by = Day("2026-09-15");
  EXPECT_THAT(Watch(facts, OnFirstOfJuly()), IsEmpty());
}

TEST(Watch, BatteriesRefillsAndFlowTestsFallDue) {
  WatchFacts facts = InOrder();
  WatchOptions options = OnFirstOfJuly();
  options.today = Day("2027-06-25");
  const auto items = Watch(facts, options);
  EXPECT_EQ(KindsOf(items), (std::vector{WatchKind::kBattery, WatchKind::kRefill, WatchKind::kFlowTest}));
  for (const WatchItem& item : items) EXPECT_TRUE(item.overdue) << item.sentence;
  facts.records.visits.clear();
  facts.records.flow_tests.clear();
  EXPECT_EQ(Watch(facts, OnFirstOfJuly()).size(), 3U);
}

TEST(Watch, ARefillGoesByTheWaterWhereTheChargeIsKnown) {
  WatchFacts facts = InOrder();
  Limit limit;
  limit.scope = LimitScope::kPoint;
  // 30 minutes at 4 L/s are 7.2 m3 a day; 11 nights since the refill are 79.2.
  limit.rule = MostVolumeBetweenRefills{Volume::CubicMetres(300)};
  facts.limits = {limit};
  EXPECT_THAT(Watch(facts, OnFirstOfJuly()), IsEmpty());
  facts.limits[0].rule = MostVolumeBetweenRefills{Volume::CubicMetres(100)};
  auto items = Watch(facts, OnFirstOfJuly());
  ASSERT_EQ(KindsOf(items), std::vector{WatchKind::kRefill});
  EXPECT_EQ(*items[0].due, Day("2026-07-03"));
  facts.limits[0].rule = MostVolumeBetweenRefills{Volume::CubicMetres(50)};
  EXPECT_TRUE(Watch(facts, OnFirstOfJuly())[0].overdue);
}

// By hand: y = 1, 0.9, 0.7, 0.6, 0.5 on days 0, 10, 20, 30, 40: S_xx = 1000, S_xy = -13, S_yy = 0.172;
// slope -0.013, error sqrt((0.172 - 0.169) / (3 x 1000)) = 0.001.
TEST(ResidualTrend, IsThatOfTheTextbook) {
  std::vector<Sample> samples;
  const double y[] = {1.0, 0.9, 0.7, 0.6, 0.5};
  for (int i = 0; i < 5; ++i) {
    Sample sample;
    sample.day = AddDays(Day("2026-06-01"), 10 * i);
    sample.residual = Concentration::MilligramsPerLitre(y[i]);
    samples.push_back(sample);
  }
  const auto trend = TrendOf(samples);
  ASSERT_TRUE(trend);
  EXPECT_NEAR(trend->slope_mg_per_l_per_day, -0.013, 1e-12);
  EXPECT_NEAR(trend->slope_error_mg_per_l_per_day, 0.001, 1e-9);
  EXPECT_NEAR(trend->At(Day("2026-06-21")), 0.74, 1e-12);
  EXPECT_TRUE(trend->IsFalling());
  samples.pop_back();
  EXPECT_FALSE(TrendOf(samples));
}

}  // namespace
}  // namespace lastreach
