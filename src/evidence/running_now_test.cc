#include "evidence/running_now.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "evidence/test_records.h"

namespace lastreach {
namespace {

PointRecords Nightly(std::optional<int> fast_min = {}) {
  PointRecords records = TestPoint();
  records.settings = {Recorded(SettingsKind::kAsLeft, At("2026-06-01", 9), Keyed({120}, 30), fast_min)};
  return records;
}

const ClockRuns& By(const RunningDevice& device, ClockIs clock) {
  for (const ClockRuns& runs : device.clocks) {
    if (runs.clock == clock) return runs;
  }
  ADD_FAILURE() << "no clock " << ToText(clock);
  return device.clocks.front();
}

TEST(RunningAt, ShouldRunWithinItsMinutesAndAQuarterOfAnHourEitherSide) {
  const PointRecords records = Nightly();
  EXPECT_TRUE(RunningAt(records, At("2026-07-02", 2, 10)).ShouldRun());
  EXPECT_TRUE(RunningAt(records, At("2026-07-02", 1, 45)).ShouldRun());
  EXPECT_TRUE(RunningAt(records, At("2026-07-02", 2, 44)).ShouldRun());
  EXPECT_FALSE(RunningAt(records, At("2026-07-02", 1, 44)).ShouldRun());
  EXPECT_FALSE(RunningAt(records, At("2026-07-02", 2, 45)).ShouldRun());
}

TEST(RunningAt, AClockAnHourOutIsOnlyAMaybe) {
  const RunningDevice fast = RunningAt(Nightly(), At("2026-07-02", 1, 10));
  EXPECT_FALSE(fast.ShouldRun());
  EXPECT_TRUE(fast.MayRun());
  EXPECT_EQ(fast.FirstOn()->clock, ClockIs::kHourFast);
  const RunningDevice slow = RunningAt(Nightly(), At("2026-07-02", 3, 10));
  EXPECT_EQ(slow.FirstOn()->clock, ClockIs::kHourSlow);
  EXPECT_FALSE(RunningAt(Nightly(), At("2026-07-02", 14, 10)).MayRun());
}

TEST(RunningAt, AClockLastSeenHalfADayOutCounts) {
  const RunningDevice device = RunningAt(Nightly(720), At("2026-07-02", 14, 10));
  EXPECT_TRUE(device.ShouldRun());
  EXPECT_EQ(device.FirstOn()->clock, ClockIs::kAsLastSeen);
  EXPECT_EQ(Instant(device.FirstOn()->on->start), At("2026-07-02", 14));
  // Nobody looked: there is no such clock.
  EXPECT_EQ(RunningAt(Nightly(), At("2026-07-02", 14, 10)).clocks.size(), 3U);
}

TEST(RunningAt, TellsTheRunsBeforeAndAfter) {
  const RunningDevice device = RunningAt(Nightly(), At("2026-07-02", 12));
  const ClockRuns& right = By(device, ClockIs::kRight);
  EXPECT_FALSE(right.on);
  EXPECT_EQ(Instant(right.last->start), At("2026-07-02", 2));
  EXPECT_EQ(Instant(right.next->start), At("2026-07-03", 2));
}

TEST(RunningAt, OffAndUnknownSettingsAreSaid) {
  PointRecords records = Nightly();
  EXPECT_FALSE(RunningAt(records, At("2026-05-01", 2, 10)).settings_known);
  records.settings[0].settings.on = false;
  const RunningDevice off = RunningAt(records, At("2026-07-02", 2, 10));
  EXPECT_TRUE(off.settings_known);
  EXPECT_FALSE(off.is_on);
  EXPECT_FALSE(off.MayRun());
}

}  // namespace
}  // namespace lastreach
