#include "evidence/reconcile.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <functional>

#include "evidence/test_records.h"

namespace lastreach {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;

constexpr double kDaily_m3 = 4.8;  // 20 minutes at 4 L/s

// Reads at noon, every so many days from April on, of a device that should run 20 minutes every day.
// `through_m3` tells what really goes through on a day, counted from the first read.
PointRecords ReadEvery(int days, int reads, const std::function<double(int)>& through_m3) {
  PointRecords records = TestPoint();
  records.settings = {Recorded(SettingsKind::kAsLeft, At("2026-03-20", 9), Keyed({120}, 20), 0)};
  double total_m3 = 1234.56;
  for (int i = 0; i < reads; ++i) {
    MeterRead read;
    read.point = records.point.code;
    read.day = AddDays(Day("2026-04-01"), i * days);
    read.minute_of_day = 720;
    const double shown_m3 = std::floor(total_m3 * 100) / 100;
    read.total = Volume::CubicMetres(shown_m3);
    char text[32];
    std::snprintf(text, sizeof text, "%.2f m3", shown_m3);
    read.original = text;
    records.reads.push_back(read);
    // The run of the next day's night and so on.
    for (int day = 0; day < days; ++day) total_m3 += through_m3(i * days + day);
  }
  return records;
}

double AsSet(int day) { return kDaily_m3 * (1 + 0.03 * std::sin(7.0 * day)); }

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

int DaysApart(const std::optional<Date>& day, const char* from) {
  return day ? std::abs(DayNumber(*day) - DayNumber(Day(from))) : 9999;
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

TEST(Reconcile, AReadWithoutItsLastTwoFiguresIsSettledByTheNext) {
  PointRecords records = ReadEvery(30, 6, AsSet);
  const double right_m3 = records.reads[3].total.cubic_metres();
  records.reads[3].total = Volume::CubicMetres(std::floor(right_m3) / 100);
  records.reads[3].original = "16.66 m3";
  const auto result = Reconcile(records);
  EXPECT_EQ(result.verdicts.front().kind, VerdictKind::kRanAsSet) << result.sentence;
  ASSERT_EQ(result.wrong_reads.size(), 1U);
  EXPECT_EQ(result.wrong_reads[0].day, records.reads[3].day);
  EXPECT_THAT(result.notes, Contains(HasSubstr("times 100 it would fit")));
  // Of the last read nobody can say yet more than that.
  records.reads.resize(4);
  const auto last = Reconcile(records);
  EXPECT_EQ(last.verdicts.front().kind, VerdictKind::kReadMistake) << last.sentence;
  EXPECT_NEAR(last.verdicts.front().parameter, 100, 1e-9);
  EXPECT_EQ(last.verdicts.front().since, records.reads[3].day);
}

TEST(Reconcile, TwoSlipsHideNoDeadBattery) {
  PointRecords records = ReadEvery(30, 9, [](int day) { return day < 190 ? AsSet(day) : 0.0; });
  records.reads[2].total = records.reads[2].total + Volume::CubicMetres(900);
  records.reads[4].total = records.reads[4].total / 10;
  const auto result = Reconcile(records);
  EXPECT_EQ(result.wrong_reads.size(), 2U);
  EXPECT_EQ(result.verdicts.front().kind, VerdictKind::kStopped) << result.sentence;
  EXPECT_LE(DaysApart(result.verdicts.front().since, "2026-10-08"), 3);
}

TEST(Reconcile, NoReadIsSettledWhereOneSideIsTrue) {
  const auto sticks = [](int day) { return day < 80 || day >= 82 ? AsSet(day) : 0.004 * 86400; };
  EXPECT_TRUE(Reconcile(ReadEvery(30, 6, sticks)).wrong_reads.empty());
  const auto stops = [](int day) { return day < 70 || day >= 100 ? AsSet(day) : 0.0; };
  EXPECT_TRUE(Reconcile(ReadEvery(15, 10, stops)).wrong_reads.empty());
}

TEST(Reconcile, TwoFiguresSwappedInTheLastReadAreNoValveStuckOpen) {
  PointRecords records = ReadEvery(7, 12, AsSet);
  // 1234.56 + 11 weeks is 1604 or so; 1640 would be a week of water and more.
  MeterRead& last = records.reads.back();
  const auto whole = static_cast<int>(last.total.cubic_metres());
  const int swapped = whole / 100 * 100 + whole % 10 * 10 + whole / 10 % 10;
  ASSERT_GT(swapped, whole + 20);
  last.total = last.total + Volume::CubicMetres(swapped - whole);
  char text[32];
  std::snprintf(text, sizeof text, "%.2f m3", last.total.cubic_metres());
  last.original = text;
  const auto result = Reconcile(records);
  EXPECT_EQ(result.verdicts.front().kind, VerdictKind::kReadMistake) << result.sentence;
  EXPECT_NEAR(result.verdicts.front().parameter * swapped, whole, 0.5);
}

TEST(Reconcile, ANewMetersUnitIsFoundFromItsFirstReadsOn) {
  PointRecords records = ReadEvery(30, 8, AsSet);
  const double last_m3 = records.reads[4].total.cubic_metres();
  records.reads[4].new_meter_at = Volume::CubicMetres(0);
  for (size_t i = 5; i < 8; ++i) {
    records.reads[i].total = (records.reads[i].total - Volume::CubicMetres(last_m3)) * 10;
  }
  const auto result = Reconcile(records);
  EXPECT_EQ(result.verdicts.front().kind, VerdictKind::kReadMistake) << result.sentence;
  EXPECT_TRUE(result.verdicts.front().onward);
  EXPECT_NEAR(result.verdicts.front().parameter, 0.1, 1e-12);
  EXPECT_EQ(result.verdicts.front().since, records.reads[4].day);
}

TEST(Reconcile, GallonsTakenForCubicMetresAreFoundInTheLastRead) {
  PointRecords records = ReadEvery(30, 6, AsSet);
  records.reads[5].total = Volume::CubicMetres(records.reads[5].total.cubic_metres() / kCubicMetresPerGallon);
  const auto result = Reconcile(records);
  EXPECT_EQ(result.verdicts.front().kind, VerdictKind::kReadMistake) << result.sentence;
  EXPECT_NEAR(result.verdicts.front().parameter, kCubicMetresPerGallon, 1e-9);
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

TEST(Reconcile, ATurnedDialAndANewMeterAreNoTrouble) {
  PointRecords turned = ReadEvery(30, 6, AsSet);
  turned.point.meter_turns_over_at = Volume::CubicMetres(1500);
  for (MeterRead& read : turned.reads) {
    read.total = Volume::CubicMetres(std::fmod(read.total.cubic_metres(), 1500));
    read.original = std::to_string(read.total.cubic_metres()) + " m3";
  }
  const auto over = Reconcile(turned);
  EXPECT_EQ(over.verdicts.front().kind, VerdictKind::kRanAsSet) << over.sentence;
  EXPECT_THAT(over.notes, Contains(HasSubstr("turned over")));
  PointRecords changed = ReadEvery(30, 6, AsSet);
  const double last_m3 = changed.reads[2].total.cubic_metres();
  changed.reads[2].new_meter_at = Volume::CubicMetres(3);
  for (size_t i = 3; i < 6; ++i) {
    changed.reads[i].total = changed.reads[i].total - Volume::CubicMetres(last_m3 - 3);
  }
  const auto fresh = Reconcile(changed);
  EXPECT_EQ(fresh.verdicts.front().kind, VerdictKind::kRanAsSet) << fresh.sentence;
  EXPECT_NEAR(fresh.read_m3, over.read_m3, 0.05);
}

TEST(Reconcile, AnEstimateIsNoEvidence) {
  PointRecords records = ReadEvery(30, 6, AsSet);
  records.reads[2].is_estimate = true;
  records.reads[2].total = records.reads[2].total + Volume::CubicMetres(120);
  const auto result = Reconcile(records);
  EXPECT_EQ(result.verdicts.front().kind, VerdictKind::kRanAsSet) << result.sentence;
  EXPECT_EQ(result.intervals.size(), 4U);
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
