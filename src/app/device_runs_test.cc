#include "app/device_runs.h"

#include <gtest/gtest.h>

namespace lastreach {
namespace {

using ValveRun = Run;  // inside a test Run is the test itself

TEST(LongestGapsEndingIn, CountsTheStretchBeforeTheFirstDayAndNotTheOneThatGoesOn) {
  const auto at = [](int hour) { return MinuteInstant(std::chrono::hours(1000 + hour)); };
  const std::vector<ValveRun> runs = {
      {at(-50), 30, 1}, {at(10), 30, 1}, {at(34), 30, 1}, {at(58), 30, 1}, {at(130), 30, 1}};
  const std::vector<Gap> gap = LongestGapsEndingIn(runs, Instant(at(0)), Instant(at(100)));
  ASSERT_EQ(gap.size(), 1U);
  EXPECT_EQ(gap.front().to, at(10));
  EXPECT_DOUBLE_EQ(gap.front().hours(), 59.5);
  const std::vector<Gap> two = LongestGapsEndingIn(runs, Instant(at(20)), Instant(at(100)));
  ASSERT_EQ(two.size(), 2U);
  EXPECT_EQ(two.front().to, at(34));
  EXPECT_EQ(two.back().to, at(58));
  EXPECT_TRUE(LongestGapsEndingIn(runs, Instant(at(200)), Instant(at(300))).empty());
  EXPECT_TRUE(LongestGapsEndingIn({}, Instant(at(0)), Instant(at(300))).empty());
}

}  // namespace
}  // namespace lastreach
