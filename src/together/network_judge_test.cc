#include "together/network_judge.h"

#include <gtest/gtest.h>

#include <cmath>

#include "together/test_street.h"

namespace lastreach {
namespace {

constexpr double kPi = 3.14159265358979323846;

DateWindow July() { return {Date{std::chrono::year{2026} / 7 / 1}, Date{std::chrono::year{2026} / 8 / 1}}; }

DeviceDuty Nightly(int minutes, double litres_per_s) {
  TimerSettings settings;
  settings.programmes.push_back({{120}, minutes, kEveryWeekday, {}});
  return {RichForm(), settings, litres_per_s / 1000, 0};
}

DeviceDuty Off() {
  DeviceDuty off = Nightly(10, 3);
  off.settings.on = false;
  return off;
}

TEST(FortnightToJudge, HoldsTheEndOfAMonthWithAnOddNumberOfDays) {
  const DateWindow summer{Date{std::chrono::year{2026} / 6 / 1}, Date{std::chrono::year{2026} / 10 / 1}};
  const DateWindow days = FortnightToJudge(summer);
  EXPECT_EQ(days.from, (Date{std::chrono::year{2026} / 7 / 24}));
  EXPECT_EQ(days.to, (Date{std::chrono::year{2026} / 8 / 7}));
  const DateWindow june{Date{std::chrono::year{2026} / 6 / 1}, Date{std::chrono::year{2026} / 6 / 20}};
  EXPECT_EQ(FortnightToJudge(june).from, june.from);
}

// The residual at the tee when nothing but steady use draws: 1.0 exp(-k V / Q), V of the main.
TEST(JudgeOnNetwork, GivesTheRootsResidualOfSteadyUse) {
  const PlanningNetwork street = ForkedStreet();
  const auto judged = JudgeOnNetwork(street, {Off(), Off()}, Zone::Utc(), July());
  ASSERT_TRUE(judged.ok());
  const double volume_m3 = kPi / 4 * 0.2 * 0.2 * 2000;
  const double expected = std::exp(-0.6 / 86400 * volume_m3 / 0.34e-3);
  for (const NetworkFinding& finding : judged->devices) {
    for (const double mg_per_l : finding.root_mg_per_l_by_hour) EXPECT_NEAR(mg_per_l, expected, 0.003);
  }
}

TEST(JudgeOnNetwork, OneDeviceFreshensTheRootOfItsNeighbour) {
  const PlanningNetwork street = ForkedStreet();
  const auto without = JudgeOnNetwork(street, {Off(), Off()}, Zone::Utc(), July());
  const auto with = JudgeOnNetwork(street, {Nightly(120, 3), Off()}, Zone::Utc(), July());
  ASSERT_TRUE(without.ok());
  ASSERT_TRUE(with.ok());
  EXPECT_GT(with->devices[1].root_lowest_mg_per_l(), without->devices[1].root_lowest_mg_per_l() + 0.02);
  EXPECT_GT(with->devices[0].lowest_mg_per_l, without->devices[0].lowest_mg_per_l + 0.1);
  EXPECT_EQ(without->devices[1].lowest_at, street.placed[1].node);
  EXPECT_LT(with->lowest_pressure_m, without->lowest_pressure_m);
}

TEST(JudgeOnNetwork, WantsADutyForEachDevice) {
  const auto judged = JudgeOnNetwork(ForkedStreet(), {Off()}, Zone::Utc(), July());
  ASSERT_FALSE(judged.ok());
  EXPECT_EQ(judged.error().code, ErrorCode::kInternal);
}

TEST(DaysToJudge, AreAsManyAsGoByUntilAllComesRound) {
  Network street = ForkedStreet().network;
  const auto days = [&](const std::vector<DeviceDuty>& duties) {
    const DateWindow window = DaysToJudge(street, duties, July());
    return (std::chrono::sys_days(window.to) - std::chrono::sys_days(window.from)).count();
  };
  DeviceDuty weekends = Nightly(10, 3);
  weekends.settings.programmes[0].days = Weekdays{0b1100000};
  DeviceDuty odd = Nightly(10, 3);
  odd.settings.programmes[0].days = OddDates{};
  EXPECT_EQ(days({Nightly(10, 3), Off()}), 1);
  EXPECT_EQ(days({weekends, Off()}), 7);
  EXPECT_EQ(days({weekends, odd}), 14);
  odd.settings.on = false;
  EXPECT_EQ(days({weekends, odd}), 7);
  street.nodes[1].tank = TankShape{};
  EXPECT_EQ(days({Nightly(10, 3), Off()}), 7);
}

TEST(LowestPressureOn, IsThatOfTheWholeFortnight) {
  const PlanningNetwork street = ForkedStreet();
  // They meet from 2:00 to 2:10.
  const std::vector<DeviceDuty> duties = {Nightly(10, 3), Nightly(47, 2)};
  const auto alone = LowestPressureOn(street, duties, Zone::Utc(), July());
  const auto judged = JudgeOnNetwork(street, duties, Zone::Utc(), July());
  ASSERT_TRUE(alone.ok());
  ASSERT_TRUE(judged.ok());
  ASSERT_TRUE(alone->has_value());
  EXPECT_NEAR((*alone)->pressure_m, judged->lowest_pressure_m, 1e-9);
  EXPECT_EQ((*alone)->node, judged->lowest_pressure_at);
}

}  // namespace
}  // namespace lastreach
