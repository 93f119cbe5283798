#include "month/point_water.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "evidence/test_records.h"

namespace lastreach {
namespace {

using std::chrono::minutes;

MeterRead Read(const char* day, double m3, std::optional<int> minute_of_day = 12 * 60) {
  MeterRead read;
  read.point = PointCode("P1");
  read.day = Day(day);
  read.minute_of_day = minute_of_day;
  read.total = Volume::CubicMetres(m3);
  return read;
}

FlushRun Logged(Instant begun, double minutes_open, std::optional<double> m3, MeasuredBy by) {
  FlushRun flush;
  flush.point = PointCode("P1");
  flush.begun = begun;
  flush.lasted = Duration::Minutes(minutes_open);
  if (m3) flush.volume = Volume::CubicMetres(*m3);
  flush.by = by;
  return flush;
}

// 30 minutes of 4 L/s every night at one: 7.2 m3 a day, since June.
PointRecords Nightly() {
  PointRecords records = TestPoint();
  records.settings.push_back(Recorded(SettingsKind::kAsLeft, At("2026-06-01", 9), Keyed({60}, 30)));
  return records;
}

PointWater August(const PointRecords& records) {
  return WaterOfPoint(records, At("2026-08-01", 0), At("2026-09-01", 0));
}

double SumOf(const PointWater& water) {
  double sum_m3 = 0;
  for (const MonthFlush& flush : water.flushes) sum_m3 += flush.volume_m3;
  return sum_m3;
}

TEST(PointWater, WithoutReadsItIsRunsTimesFlow) {
  const PointRecords records = Nightly();
  const PointWater water = August(records);
  EXPECT_DOUBLE_EQ(water.metered_m3, 0);
  EXPECT_NEAR(water.estimated_m3, 31 * 7.2, 1e-9);
  EXPECT_NEAR(water.runs, 31, 1e-9);
  EXPECT_NEAR(water.open_s, 31 * 1800.0, 1e-6);
  EXPECT_EQ(water.flushes.size(), 31U);
  EXPECT_NEAR(SumOf(water), water.total_m3(), 1e-9);
  // The flow is off by 5 % in every run alike; each run scatters by a tenth of its own.
  EXPECT_NEAR(water.sd_m3(), std::hypot(0.05 * 31 * 7.2, std::sqrt(31.0) * 0.72), 1e-9);
}

TEST(PointWater, ReadsThatEncloseTheMonthShareTheirVolumeByTheRuns) {
  PointRecords records = Nightly();
  // From 28 July noon to 3 September noon are 37 runs, 31 of them in August.
  records.reads = {Read("2026-07-28", 1000), Read("2026-09-03", 1370)};
  const PointWater water = August(records);
  EXPECT_NEAR(water.metered_m3, 370 * 31.0 / 37, 1e-9);
  EXPECT_DOUBLE_EQ(water.estimated_m3, 0);
  EXPECT_NEAR(water.metered_s, 31 * 86400.0, 1e-6);
  EXPECT_NEAR(SumOf(water), water.metered_m3, 1e-9);
  const double share = 31.0 / 37, apart = 370 - 37 * 7.2;
  const double dial = share * 0.1 * std::sqrt(2 / 12.0);  // to a tenth, where the sheet does not say
  EXPECT_NEAR(water.sd_m3(),
              std::hypot(0.02 * water.metered_m3, std::sqrt(share * (1 - share)) * apart, dial), 1e-9);
}

TEST(PointWater, WhatNoReadsEncloseIsEstimated) {
  PointRecords records = Nightly();
  records.reads = {Read("2026-07-20", 0), Read("2026-08-10", 21 * 7.2)};
  const PointWater water = August(records);
  EXPECT_NEAR(water.metered_m3, 10 * 7.2, 1e-9);
  EXPECT_NEAR(water.estimated_m3, 21 * 7.2, 1e-9);
}

TEST(PointWater, EstimatedReadsAreBridgedNewMetersAndTurnOversAreCounted) {
  PointRecords records = Nightly();
  records.point.meter_turns_over_at = Volume::CubicMetres(1000);
  records.reads = {Read("2026-07-31", 900, 23 * 60 + 59), Read("2026-08-10", 999), Read("2026-08-20", 50),
                   Read("2026-09-01", 10, 0)};
  records.reads[1].is_estimate = true;
  records.reads[2].new_meter_at = Volume::CubicMetres(2);
  const auto intervals = DialIntervals(records);
  ASSERT_EQ(intervals.size(), 2U);
  EXPECT_NEAR(intervals[0].volume_m3, 150, 1e-9);
  EXPECT_NEAR(intervals[1].volume_m3, 8, 1e-9);
  EXPECT_NEAR(August(records).metered_m3, 158, 1e-9);
}

TEST(PointWater, AWrongReadIsReachedAcross) {
  PointRecords records = Nightly();
  records.reads = {Read("2026-07-31", 500), Read("2026-08-10", 58), Read("2026-09-01", 730)};
  auto intervals = DialIntervals(records);
  ASSERT_EQ(intervals.size(), 2U);
  EXPECT_TRUE(intervals[0].falls);
  EXPECT_NEAR(intervals[1].volume_m3, 230, 1e-9);
  records.reads = {Read("2026-07-31", 500), Read("2026-08-10", 980), Read("2026-09-01", 730)};
  records.point.meter_turns_over_at = Volume::CubicMetres(1e6);
  intervals = DialIntervals(records);
  ASSERT_EQ(intervals.size(), 2U);
  EXPECT_NEAR(intervals[0].volume_m3, 230, 1e-9);
  EXPECT_TRUE(intervals[1].falls);
}

TEST(PointWater, ADialThatFellAndGoesOnFromNothingSaysNothing) {
  PointRecords records = Nightly();
  records.point.meter_turns_over_at = Volume::CubicMetres(1e6);
  records.reads = {Read("2026-07-31", 500), Read("2026-09-01", 100)};
  EXPECT_TRUE(DialIntervals(records).front().falls);
  const PointWater water = August(records);
  EXPECT_DOUBLE_EQ(water.metered_m3, 0);
  EXPECT_NEAR(water.estimated_m3, 31 * 7.2, 1e-9);
}

TEST(PointWater, ALoggedRunOfTheTimerIsNotCountedTwice) {
  PointRecords records = Nightly();
  records.flush_runs = {Logged(At("2026-08-05", 1), 32, 8.0, MeasuredBy::kDrum),
                        Logged(At("2026-08-06", 10), 60, {}, MeasuredBy::kEstimate),
                        Logged(At("2026-08-07", 10), 60, 20.0, MeasuredBy::kMeter)};
  const PointWater water = August(records);
  EXPECT_NEAR(water.estimated_m3, 30 * 7.2 + 8 + 3600 * 0.004, 1e-9);
  EXPECT_NEAR(water.metered_m3, 20, 1e-9);
  EXPECT_NEAR(SumOf(water), water.total_m3(), 1e-9);
}

TEST(PointWater, OneFlushByHandIsItsFlowTimesItsTime) {
  PointRecords records = TestPoint();
  records.point.kind = PointKind::kHand;
  records.point.flow->value = Flow::GallonsPerMinute(400);
  records.flush_runs = {Logged(At("2026-08-05", 10), 20, {}, MeasuredBy::kEstimate)};
  const PointWater water = August(records);
  EXPECT_NEAR(Volume::CubicMetres(water.estimated_m3).gallons(), 8000, 1e-6);
  EXPECT_NEAR(water.sd_m3(), 0.05 * water.estimated_m3, 1e-9);
}

TEST(PointWater, MetersOfPointsThatNeverRanAreUnexplained) {
  PointRecords records = TestPoint();
  records.settings.push_back(
      Recorded(SettingsKind::kAsLeft, At("2026-06-01", 9), TimerSettings{false, 100, {}}));
  records.reads = {Read("2026-07-31", 0, 0), Read("2026-09-02", 33, 0)};
  const PointWater water = August(records);
  EXPECT_NEAR(water.metered_m3, 31, 1e-9);
  ASSERT_EQ(water.flushes.size(), 1U);
  EXPECT_TRUE(water.flushes[0].unexplained);
}

TEST(PointWater, WithoutFlowOrReadsNobodyKnows) {
  PointRecords records = Nightly();
  records.point.flow.reset();
  const PointWater water = August(records);
  EXPECT_DOUBLE_EQ(water.total_m3(), 0);
  EXPECT_TRUE(water.flow_missing);
  EXPECT_NEAR(water.runs, 31, 1e-9);
}

TEST(PointWater, AnIntervalUnlikeItsSettingsDiffers) {
  PointRecords records = Nightly();
  records.reads = {Read("2026-08-01", 0), Read("2026-08-11", 72), Read("2026-08-21", 72)};
  const auto checks = CheckIntervals(records, At("2026-08-01", 0));
  ASSERT_EQ(checks.size(), 2U);
  EXPECT_NEAR(checks[0].expected_m3, 72, 1e-9);
  EXPECT_FALSE(checks[0].Differs());
  EXPECT_TRUE(checks[1].Differs());
}

// A minute at a time: what the valve does, the dial's volume shared by it, the rest by the flow.
double MinuteByMinute(const PointRecords& records, Instant begin, Instant end) {
  const auto open = [&](Instant from, Instant to) {
    double count = 0;
    for (Instant t = from; t < to; t += minutes(1)) {
      const auto local = records.zone.ToLocal(t);
      const auto of_day = local - std::chrono::floor<std::chrono::days>(local);
      const auto minute = std::chrono::duration_cast<minutes>(of_day).count();
      for (const int start : records.settings[0].settings.programmes[0].starts_min) {
        if (minute >= start && minute < start + records.settings[0].settings.programmes[0].minutes) ++count;
      }
    }
    return count;
  };
  double sum_m3 = 0;
  Instant done = begin;
  for (const DialInterval& interval : DialIntervals(records)) {
    if (interval.to <= begin || interval.from >= end) continue;
    const Instant from = std::max(interval.from, begin), to = std::min(interval.to, end);
    sum_m3 += 0.24 * open(done, from);
    const double whole = open(interval.from, interval.to);
    sum_m3 += interval.volume_m3 * open(from, to) / whole;
    done = to;
  }
  return sum_m3 + 0.24 * open(done, end);
}

RC_GTEST_PROP(PointWater, IsWhatWalkingTheMonthAMinuteAtATimeGives, ()) {
  PointRecords records = TestPoint();
  const int start = *rc::gen::inRange(0, 600);
  const int minutes_open = *rc::gen::inRange(1, 90);
  records.settings.push_back(
      Recorded(SettingsKind::kAsLeft, At("2026-05-01", 9), Keyed({start, start + 720}, minutes_open)));
  int day = DayNumber(Day("2026-07-10")) + *rc::gen::inRange(0, 25);
  double dial_m3 = 0;
  for (int left = *rc::gen::inRange(0, 5); left > 0; --left) {
    MeterRead read = Read("2026-08-01", dial_m3, *rc::gen::inRange(0, 1440));
    read.day = DateOfDayNumber(day);
    records.reads.push_back(read);
    day += *rc::gen::inRange(2, 20);
    dial_m3 += *rc::gen::inRange(0, 400);
  }
  const Instant begin = At("2026-08-01", 0), end = At("2026-09-01", 0);
  const PointWater water = WaterOfPoint(records, begin, end);
  const double walked_m3 = MinuteByMinute(records, begin, end);
  RC_ASSERT(std::abs(water.total_m3() - walked_m3) < 1e-6);
  RC_ASSERT(std::abs(SumOf(water) - water.total_m3()) < 1e-6);
  for (const MonthFlush& flush : water.flushes) RC_ASSERT(flush.begin >= begin && flush.end <= end);
}

}  // namespace
}  // namespace lastreach
