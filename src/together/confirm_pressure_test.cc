#include "together/confirm_pressure.h"

#include <gtest/gtest.h>

#include <random>

#include "together/random_towns.h"
#include "together/stagger.h"

namespace lastreach {
namespace {

OpenTimes EveryDay(int from_min, int minutes) {
  OpenTimes times;
  for (int day = 0; day < 7; ++day) {
    times.push_back({day * kMinutesADay + from_min, day * kMinutesADay + from_min + minutes});
  }
  return ShiftedTimes(times, 0, 0);
}

TogetherDevice At(const std::string& code, int from_min, double flow_m3_per_s) {
  return {code, "", false, flow_m3_per_s, {{EveryDay(from_min, 30), 1, true}}};
}

// One main to one customer, two devices at its end: each alone is harmless, both are not.
struct OneMain {
  OneMain() {
    const NodeIndex source = hand.Source(40);
    end = hand.Junction(0, 2e-4);
    hand.Pipe(source, end, 900, 0.08);
    points = {{end, 3e-3}, {end, 3e-3}};
  }
  Hand hand;
  NodeIndex end{};
  std::vector<DrawingPoint> points;
  std::vector<LeastPressureThere> limits = {{"", 20, "state rule"}};
};

TEST(ConfirmPressure, FindsWhereAndWhenTwoDevicesBreakTheLimit) {
  OneMain town;
  auto judge = PressureJudge::Make(town.hand.network, town.points, town.limits);
  ASSERT_TRUE(judge.ok());
  ASSERT_TRUE(judge->Judge(0, {0}).Holds() && !judge->Judge(0, {0, 1}).Holds());
  const std::vector<TogetherDevice> devices = {At("A", 120, 3e-3), At("B", 140, 3e-3)};
  const auto weeks = ConfirmPressure(town.hand.network, *judge, town.points, devices, {0, 0}, {});
  ASSERT_TRUE(weeks.ok()) << weeks.error().ToString();
  ASSERT_EQ(weeks->size(), 1U);
  const ConfirmedWeek& week = weeks->front();
  ASSERT_TRUE(week.lowest.has_value());
  EXPECT_EQ(week.lowest->node, town.end);
  EXPECT_NEAR(week.lowest->hour, 140.0 / 60, 1e-6);
  EXPECT_NEAR(week.lowest->pressure_m - 20, judge->Judge(0, {0, 1}).least_spare_m, 1e-4);
  ASSERT_EQ(week.breaks.size(), 1U);
  EXPECT_EQ(week.breaks[0].devices, (std::vector<size_t>{0, 1}));
  EXPECT_EQ(week.breaks[0].hour, 2);
  EXPECT_NE(week.words[0].find("on Monday at 2:20 with A, B open (source: state rule)"), std::string::npos)
      << week.words[0];
}

TEST(ConfirmPressure, FindsClocksForWhichTheyMeet) {
  OneMain town;
  auto judge = PressureJudge::Make(town.hand.network, town.points, town.limits);
  ASSERT_TRUE(judge.ok());
  const std::vector<TogetherDevice> devices = {At("A", 120, 3e-3), At("B", 200, 3e-3)};
  const auto weeks = ConfirmPressure(town.hand.network, *judge, town.points, devices, {0, 0}, {},
                                     {.care = ClockCare::kAnyOneMayBeWrong});
  ASSERT_TRUE(weeks.ok());
  ASSERT_EQ(weeks->size(), 2U);
  EXPECT_TRUE(weeks->at(0).words.empty());
  EXPECT_EQ(weeks->at(0).clocks, "clocks right");
  EXPECT_FALSE(weeks->at(1).words.empty());
  EXPECT_EQ(std::count(weeks->at(1).late_min.begin(), weeks->at(1).late_min.end(), 0), 1);
}

TEST(ConfirmPressure, HoldsWhatStaggerGives) {
  std::mt19937_64 random(11);
  int confirmed = 0;
  for (int turn = 0; turn < 15; ++turn) {
    RandomTown town(random, 6, 3, true);
    std::vector<LeastPressureThere> limits = town.LimitsThatMayBind();
    limits.resize(1);
    auto judge = PressureJudge::Make(town.network(), town.points, limits);
    ASSERT_TRUE(judge.ok());
    std::vector<TogetherDevice> devices;
    for (size_t d = 0; d < town.points.size(); ++d) {
      devices.push_back(At("T" + std::to_string(d), 120, town.points[d].flow_m3_per_s));
      for (int k = 1; k < 5; ++k) devices.back().ways.push_back({EveryDay(120 + 60 * k, 30), 1, false});
    }
    const auto answer = Stagger(devices, {}, &*judge, {.summer_time = true});
    ASSERT_TRUE(answer.ok());
    if (!answer->Found()) continue;
    ++confirmed;
    const auto weeks = ConfirmPressure(town.network(), *judge, town.points, devices, answer->way, {},
                                       {.summer_time = true, .care = answer->care});
    ASSERT_TRUE(weeks.ok());
    EXPECT_GE(weeks->size(), 2U);
    for (const ConfirmedWeek& week : *weeks) EXPECT_TRUE(week.words.empty()) << turn << " " << week.words[0];
  }
  EXPECT_GT(confirmed, 5);
}

TEST(ConfirmPressure, SaysWhatATankFallsToAgainstItsReserve) {
  Hand hand;
  const NodeIndex source = hand.Source(40);
  const NodeIndex tank = hand.Tank(30, {8, 4, 0.5, 8, TankMixing::kMixed});
  const NodeIndex town = hand.Junction(0, 4e-3);
  hand.Pipe(source, town, 2000, 0.1);
  hand.Pipe(town, tank, 200, 0.15);
  const std::vector<DrawingPoint> points = {{town, 6e-3}};
  auto judge = PressureJudge::Make(hand.network, points, {{"", 10, "state rule"}});
  ASSERT_TRUE(judge.ok()) << judge.error().ToString();
  const std::vector<TogetherDevice> devices = {{"A", "", false, 6e-3, {{EveryDay(120, 60), 1, true}}}};
  const auto still = ConfirmPressure(hand.network, *judge, points, devices, {std::nullopt}, {});
  const auto drawn = ConfirmPressure(hand.network, *judge, points, devices, {0}, {{"N1", 8, "fire brigade"}});
  ASSERT_TRUE(still.ok() && drawn.ok());
  ASSERT_EQ(drawn->front().tanks.size(), 1U);
  EXPECT_LT(drawn->front().tanks[0].level_m, still->front().tanks[0].level_m - 0.2);
  ASSERT_EQ(drawn->front().words.size(), 1U);
  EXPECT_TRUE(drawn->front().words[0].ends_with("at 3:00 (source: fire brigade)")) << drawn->front().words[0];
  EXPECT_FALSE(ConfirmPressure(hand.network, *judge, points, devices, {0}, {{"N9", 1, "x"}}).ok());
}

}  // namespace
}  // namespace lastreach
