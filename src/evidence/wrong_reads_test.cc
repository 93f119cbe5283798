// Reads that are wrong, dials that turn over, meters that are changed.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "evidence/reconcile.h"
#include "evidence/test_reads.h"

namespace lastreach {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;

TEST(WrongReads, AReadWithoutItsLastTwoFiguresIsSettledByTheNext) {
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

TEST(WrongReads, TwoSlipsHideNoDeadBattery) {
  PointRecords records = ReadEvery(30, 9, [](int day) { return day < 190 ? AsSet(day) : 0.0; });
  records.reads[2].total = records.reads[2].total + Volume::CubicMetres(900);
  records.reads[4].total = records.reads[4].total / 10;
  const auto result = Reconcile(records);
  EXPECT_EQ(result.wrong_reads.size(), 2U);
  EXPECT_EQ(result.verdicts.front().kind, VerdictKind::kStopped) << result.sentence;
  EXPECT_LE(DaysApart(result.verdicts.front().since, "2026-10-08"), 3);
}

TEST(WrongReads, NoReadIsSettledWhereOneSideIsTrue) {
  const auto sticks = [](int day) { return day < 80 || day >= 82 ? AsSet(day) : 0.004 * 86400; };
  EXPECT_TRUE(Reconcile(ReadEvery(30, 6, sticks)).wrong_reads.empty());
  const auto stops = [](int day) { return day < 70 || day >= 100 ? AsSet(day) : 0.0; };
  EXPECT_TRUE(Reconcile(ReadEvery(15, 10, stops)).wrong_reads.empty());
}

TEST(WrongReads, TwoFiguresSwappedInTheLastReadAreNoValveStuckOpen) {
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

TEST(WrongReads, ANewMetersUnitIsFoundFromItsFirstReadsOn) {
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

TEST(WrongReads, GallonsTakenForCubicMetresAreFoundInTheLastRead) {
  PointRecords records = ReadEvery(30, 6, AsSet);
  records.reads[5].total = Volume::CubicMetres(records.reads[5].total.cubic_metres() / kCubicMetresPerGallon);
  const auto result = Reconcile(records);
  EXPECT_EQ(result.verdicts.front().kind, VerdictKind::kReadMistake) << result.sentence;
  EXPECT_NEAR(result.verdicts.front().parameter, kCubicMetresPerGallon, 1e-9);
}

TEST(WrongReads, ATurnedDialAndANewMeterAreNoTrouble) {
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

TEST(WrongReads, AnEstimateIsNoEvidence) {
  PointRecords records = ReadEvery(30, 6, AsSet);
  records.reads[2].is_estimate = true;
  records.reads[2].total = records.reads[2].total + Volume::CubicMetres(120);
  const auto result = Reconcile(records);
  EXPECT_EQ(result.verdicts.front().kind, VerdictKind::kRanAsSet) << result.sentence;
  EXPECT_EQ(result.intervals.size(), 4U);
}

}  // namespace
}  // namespace lastreach
