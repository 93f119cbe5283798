#include "together/closing_surge.h"

#include <gtest/gtest.h>

#include <random>

#include "hydraulics/test_networks.h"

namespace lastreach {
namespace {

OpenTimes EveryDay(int from_min, int minutes) {
  OpenTimes times;
  for (int day = 0; day < 7; ++day) {
    times.push_back({day * kMinutesADay + from_min, day * kMinutesADay + from_min + minutes});
  }
  return ShiftedTimes(times, 0, 0);
}

DeviceSpeeds Stops(uint32_t link, double m_per_s) {
  DeviceSpeeds speeds;
  speeds.mains = {{LinkIndex{link}, m_per_s, m_per_s, 0}};
  return speeds;
}

const auto kMayAlways = [](size_t, int) { return true; };

TEST(ClosingsTogether, AddUpOnTheMainTheyShare) {
  const std::vector<OpenTimes> open = {EveryDay(60, 30), EveryDay(70, 20), EveryDay(75, 15),
                                       EveryDay(60, 31)};
  const std::vector<DeviceSpeeds> speeds = {Stops(0, 0.1), Stops(0, 0.2), Stops(1, 0.5), Stops(0, 0.9)};
  // The third shuts in the same minute but stops another main, the fourth a minute later.
  const auto found = ClosingsTogether(open, speeds, {0, 0, 0, 0});
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(found[0].minute, 90);
  EXPECT_EQ(found[0].devices, (std::vector<size_t>{0, 1}));
  EXPECT_NEAR(found[0].stopped_m_per_s, 0.3, 1e-12);
  EXPECT_NEAR(found[0].sudden_m, 1200 * 0.3 / 9.80665, 1e-9);
}

TEST(ClosingsTogether, SayWhoStopsWhat) {
  Hand hand;
  const NodeIndex source = hand.Source(50), end = hand.Junction(0, 0);
  hand.Pipe(source, end, 100, 0.1);
  const auto found =
      ClosingsTogether({EveryDay(60, 30), EveryDay(60, 30)}, {Stops(0, 0.1), Stops(0, 0.2)}, {0, 0});
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(
      found[0].Words(hand.network, {{"A", "", false, 0, {}}, {"B", "", false, 0, {}}}),
      "A and B shut in the same minute, 1:30, and stop 0.30 m/s in main L0: valves that shut at once could "
      "raise its pressure by 37 m");
}

TEST(SpreadClosings, MovesOneByAMinute) {
  const std::vector<OpenTimes> open = {EveryDay(60, 30), EveryDay(60, 30)};
  const std::vector<DeviceSpeeds> speeds = {Stops(0, 0.1), Stops(0, 0.2)};
  const std::vector<int> later_min = SpreadClosings(open, speeds, kMayAlways);
  EXPECT_EQ(later_min, (std::vector<int>{1, 0}));
  EXPECT_TRUE(ClosingsTogether(open, speeds, later_min).empty());
}

TEST(SpreadClosings, LeavesATimerThatTakesNoSuchStart) {
  const std::vector<OpenTimes> open = {EveryDay(60, 30), EveryDay(60, 30)};
  const std::vector<DeviceSpeeds> speeds = {Stops(0, 0.1), Stops(0, 0.2)};
  EXPECT_EQ(SpreadClosings(open, speeds, [](size_t d, int) { return d == 1; }), (std::vector<int>{0, 1}));
  EXPECT_EQ(SpreadClosings(open, speeds, [](size_t, int) { return false; }), (std::vector<int>{0, 0}));
}

TEST(SpreadClosings, NeverMakesTheWorstClosingWorse) {
  std::mt19937_64 random(3);
  const auto pick = [&](int below) { return std::uniform_int_distribution<int>(0, below - 1)(random); };
  for (int turn = 0; turn < 100; ++turn) {
    std::vector<OpenTimes> open;
    std::vector<DeviceSpeeds> speeds;
    for (int d = 2 + pick(8); d > 0; --d) {
      open.push_back(EveryDay(60 + pick(4), 30));
      speeds.push_back(Stops(static_cast<uint32_t>(pick(3)), 0.05 * (1 + pick(6))));
    }
    const std::vector<int> none(open.size(), 0);
    const auto before = ClosingsTogether(open, speeds, none);
    const std::vector<int> later_min = SpreadClosings(open, speeds, kMayAlways);
    const auto after = ClosingsTogether(open, speeds, later_min);
    EXPECT_LE(after.empty() ? 0 : after[0].stopped_m_per_s, before.empty() ? 0 : before[0].stopped_m_per_s);
    EXPECT_LE(*std::max_element(later_min.begin(), later_min.end()), ClosingOptions{}.most_minutes);
  }
}

}  // namespace
}  // namespace lastreach
