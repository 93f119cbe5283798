#include "evidence/reconcile.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "evidence/test_reads.h"

namespace lastreach {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;

const RankedVerdict* Find(const PointReconciliation& result, VerdictKind kind) {
  for (const RankedVerdict& verdict : result.verdicts) {
    if (verdict.kind == kind) return &verdict;
  }
  return nullptr;
}

double SumOf(const PointReconciliation& result) {
  double sum = 0;
  for (const RankedVerdict& verdict : result.verdicts) sum += verdict.probability;
  return sum;
}

TEST(Reconcile, ADeviceThatRanAsSetIsSaidToHave) {
  const auto result = Reconcile(ReadEvery(30, 6, AsSet), {.least_probability = 0});
  EXPECT_EQ(result.state, ReconcileState::kJudged);
  ASSERT_FALSE(result.verdicts.empty());
  EXPECT_EQ(result.verdicts.front().kind, VerdictKind::kRanAsSet);
  EXPECT_GT(result.verdicts.front().probability, 0.85);
  EXPECT_FALSE(result.NeedsAPerson());
  EXPECT_NEAR(SumOf(result), 1, 1e-9);
  EXPECT_NEAR(result.expected_m3, 150 * kDaily_m3, 1e-6);
  EXPECT_NEAR(*result.flow_by_reads_m3_per_s, 0.004, 0.0001);
  // An hour out makes the same volumes: no read can tell.
  EXPECT_THAT(result.verdicts.front().same_volumes, Contains(VerdictKind::kWrongClockOrDay));
}

TEST(Reconcile, AStopIsDatedByTheVolumeBeforeIt) {
  const auto stops = [](int day) { return day < 69 ? AsSet(day) : 0.0; };
  const auto result = Reconcile(ReadEvery(30, 6, stops));
  const RankedVerdict& first = result.verdicts.front();
  EXPECT_EQ(first.kind, VerdictKind::kStopped) << result.sentence;
  EXPECT_GT(first.probability, 0.9);
  // Runs to the 69th day: 30 March days of April, 9 into June.
  EXPECT_LE(DaysApart(first.since, "2026-06-09"), 3);
  EXPECT_FALSE(first.until);
  EXPECT_TRUE(result.NeedsAPerson());
  EXPECT_THAT(first.evidence, HasSubstr("gal"));
  EXPECT_THAT(first.settle, HasSubstr("battery"));
  EXPECT_LE(DayNumber(*first.earliest), DayNumber(*first.since));
  EXPECT_GE(DayNumber(*first.latest), DayNumber(*first.since));
}

TEST(Reconcile, AStopThatEndedIsSaidToHaveEnded) {
  const auto stops = [](int day) { return day < 40 || day >= 100 ? AsSet(day) : 0.0; };
  const auto result = Reconcile(ReadEvery(15, 10, stops));
  EXPECT_EQ(result.verdicts.front().kind, VerdictKind::kStopped) << result.sentence;
  EXPECT_LE(DaysApart(result.verdicts.front().since, "2026-05-11"), 3);
  EXPECT_LE(DaysApart(result.verdicts.front().until, "2026-07-10"), 3);
}

TEST(Reconcile, NotYetInUseIsNoTrouble) {
  const auto starts = [](int day) { return day < 24 ? 0.0 : AsSet(day); };
  const auto result = Reconcile(ReadEvery(15, 10, starts));
  EXPECT_TRUE(result.verdicts.front().IsStartUp()) << result.sentence;
  EXPECT_FALSE(result.NeedsAPerson());
  EXPECT_LE(DaysApart(result.verdicts.front().until, "2026-04-25"), 3);
}

TEST(Reconcile, OfTwoTroublesTheLatestIsToldAndTheFirstNoted) {
  const auto twice = [](int day) {
    if (day < 40) return 0.0;
    if (day >= 62 && day < 65) return 0.004 * 86400;
    return day >= 120 ? 0.0 : AsSet(day);
  };
  const auto result = Reconcile(ReadEvery(15, 11, twice));
  EXPECT_EQ(result.verdicts.front().kind, VerdictKind::kStopped) << result.sentence;
  EXPECT_LE(DaysApart(result.verdicts.front().since, "2026-07-30"), 3);
  EXPECT_THAT(result.notes, Contains(HasSubstr("no one cause explains all reads")));
  EXPECT_FALSE(result.intervals.front().counts);
  EXPECT_TRUE(result.intervals.back().counts);
}

TEST(Reconcile, StuckOpenShowsInOneRead) {
  const auto sticks = [](int day) { return day < 80 || day >= 82 ? AsSet(day) : 0.004 * 86400; };
  const auto result = Reconcile(ReadEvery(30, 6, sticks));
  EXPECT_EQ(result.verdicts.front().kind, VerdictKind::kStuckOpen) << result.sentence;
  EXPECT_TRUE(result.verdicts.front().until);
  const auto still = [](int day) { return day < 140 ? AsSet(day) : 0.004 * 86400; };
  const auto now = Reconcile(ReadEvery(30, 6, still));
  EXPECT_EQ(now.verdicts.front().kind, VerdictKind::kStuckOpen);
}

TEST(Reconcile, APercentageSomebodyKeyedIsFoundAmongTheTimersSteps) {
  const auto halved = [](int day) { return AsSet(day) * (day < 60 ? 1 : 0.5); };
  const auto result = Reconcile(ReadEvery(30, 6, halved));
  const RankedVerdict* percent = Find(result, VerdictKind::kPercentChanged);
  ASSERT_NE(percent, nullptr) << result.sentence;
  EXPECT_DOUBLE_EQ(percent->parameter, 50);
  EXPECT_LE(DaysApart(percent->since, "2026-05-31"), 4);
  // Half the flow would look the same, and it says so.
  EXPECT_THAT(percent->same_volumes, Contains(VerdictKind::kFlowDrifted));
  const RankedVerdict* drift = Find(result, VerdictKind::kFlowDrifted);
  ASSERT_NE(drift, nullptr);
  EXPECT_DOUBLE_EQ(drift->parameter, 0.5);
  EXPECT_GT(percent->probability + drift->probability, 0.95);
}

TEST(Reconcile, AFlowNumberThatIsWrongIsWrongFromTheFirstRead) {
  const auto weak = [](int day) { return 0.6 * AsSet(day); };
  PointRecords records = ReadEvery(30, 6, weak);
  records.form.percent_scope = PercentScope::kNone;
  const auto result = Reconcile(records);
  EXPECT_EQ(result.verdicts.front().kind, VerdictKind::kFlowDrifted) << result.sentence;
  EXPECT_FALSE(result.verdicts.front().since);
  EXPECT_DOUBLE_EQ(result.verdicts.front().parameter, 0.6);
  // A flow nobody ever measured may well be so far out: then the reads only teach it.
  records.point.flow->origin.kind = OriginKind::kAssumed;
  const auto taught = Reconcile(records);
  EXPECT_EQ(taught.verdicts.front().kind, VerdictKind::kRanAsSet) << taught.sentence;
  EXPECT_NEAR(*taught.flow_by_reads_m3_per_s, 0.0024, 0.0001);
}

TEST(Reconcile, AValveThatDribblesAddsTheSameEveryDay) {
  const auto dribbles = [](int day) { return AsSet(day) + (day < 60 ? 0 : 0.01 * 0.004 * 86400); };
  const auto result = Reconcile(ReadEvery(10, 16, dribbles));
  const RankedVerdict* dribble = Find(result, VerdictKind::kDribbling);
  ASSERT_NE(dribble, nullptr) << result.sentence;
  EXPECT_NEAR(dribble->parameter, 0.01, 0.011);
  EXPECT_TRUE(result.NeedsAPerson());
}

TEST(Reconcile, RanByThePlanNobodyWroteDownAsLeft) {
  const auto planned = [](int day) { return day < 30 ? AsSet(day) : 1.45 * AsSet(day); };
  PointRecords records = ReadEvery(15, 11, planned);
  records.settings.push_back(Recorded(SettingsKind::kPlanned, At("2026-04-20", 9), Keyed({120}, 29)));
  records.settings.push_back(Recorded(SettingsKind::kAsLeft, At("2026-05-01", 9), Keyed({120}, 20), 0));
  const auto result = Reconcile(records);
  EXPECT_EQ(result.verdicts.front().kind, VerdictKind::kRanPlanned) << result.sentence;
}

TEST(Reconcile, LowResidualsSpeakForAStop) {
  // One read interval with half the water: a stop half way through, or another percentage all along.
  const auto half = [](int day) { return day < 60 ? AsSet(day) : AsSet(day) / 2; };
  PointRecords records = ReadEvery(30, 4, half);
  const double before = Find(Reconcile(records), VerdictKind::kStopped)->probability;
  for (int i = 0; i < 6; ++i) {
    Sample sample;
    sample.day = AddDays(Day("2026-04-10"), i * 13);
    sample.minute_of_day = 600;
    sample.residual = Concentration::MilligramsPerLitre(i < 4 ? 0.8 : 0.1);
    records.samples.push_back(sample);
  }
  records.samples[4].day = Day("2026-06-24");
  records.samples[5].day = Day("2026-06-28");
  EXPECT_GT(Find(Reconcile(records), VerdictKind::kStopped)->probability, before);
}

TEST(Reconcile, SaysWhyNobodyCanKnow) {
  PointRecords records = ReadEvery(30, 1, AsSet);
  auto result = Reconcile(records);
  EXPECT_EQ(result.state, ReconcileState::kNoReads);
  EXPECT_THAT(result.sentence, HasSubstr("no read since 2026-04-01"));
  EXPECT_TRUE(result.verdicts.empty());
  records.reads.clear();
  records.point.meter = "none";
  EXPECT_EQ(Reconcile(records).state, ReconcileState::kNoMeter);
  records = ReadEvery(30, 4, AsSet);
  records.point.flow.reset();
  EXPECT_EQ(Reconcile(records).state, ReconcileState::kNoFlow);
  records = ReadEvery(30, 4, AsSet);
  records.settings.clear();
  result = Reconcile(records);
  EXPECT_EQ(result.state, ReconcileState::kNoSettings);
  EXPECT_TRUE(result.NeedsAPerson());
}

}  // namespace
}  // namespace lastreach
