// Tanks through time: levels, marks, rules, each by hand.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "hydraulics/simulated.h"
#include "hydraulics/test_networks.h"

namespace lastreach {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;

constexpr double kArea_m2 = std::numbers::pi / 4 * 100;  // 10 m wide
const TankShape kTenWide{10, 1, 0.5, 4, TankMixing::kMixed};

// The times at which periods begin where the flow of `link` is not what it was.
std::vector<double> Turns_s(const Simulated& run, size_t link) {
  std::vector<double> turns_s;
  for (size_t i = 1; i < run.periods.size(); ++i) {
    const double off = run.periods[i].flow_m3_per_s[link] - run.periods[i - 1].flow_m3_per_s[link];
    if (std::abs(off) > 1e-6) turns_s.push_back(run.periods[i].begin_s);
  }
  return turns_s;
}

// A limit of 20 L/s fills the tank from a source high above it, and 5 L/s are always drawn beside it.
struct Filled {
  Hand hand;
  NodeIndex tank{}, town{};
  Filled() {
    const NodeIndex source = hand.Source(120);
    tank = hand.Tank(50, kTenWide);
    town = hand.Junction(10, 0.005);
    hand.Add(LinkKind::kLimiting, source, town).setting = 0.02;
    hand.Pipe(town, tank, 500, 0.2);
  }
};

TEST(TankSimulation, ATankFillsAndStopsFull) {
  Filled filled;
  const Simulated run = Simulate(filled.hand.network, {.hours = 6});
  const double full_s = 3 * kArea_m2 / 0.015;  // 15,708 s
  ASSERT_EQ(Turns_s(run, 0).size(), 1U);
  EXPECT_NEAR(Turns_s(run, 0)[0], full_s, 1e-4);
  EXPECT_NEAR(run.LevelAt_m(filled.hand.network, filled.tank, full_s / 3), 2, 1e-7);
  EXPECT_NEAR(run.LevelAtEnd_m(filled.hand.network, filled.tank), 4, 1e-7);
  // What is drawn now comes from the source alone.
  EXPECT_NEAR(run.periods.back().flow_m3_per_s[0], 0.005, 1e-7);
  EXPECT_NEAR(run.periods.back().outflow_m3_per_s[At(filled.tank)], 0, 1e-9);
}

TEST(TankSimulation, WaterPassesThroughAFullTankButNoMoreThanIsDrawn) {
  Hand hand;
  const NodeIndex source = hand.Source(120);
  const NodeIndex tank = hand.Tank(50, kTenWide);
  hand.Add(LinkKind::kLimiting, source, tank).setting = 0.02;
  hand.Pipe(tank, hand.Junction(10, 0.005), 500, 0.2);
  const Simulated run = Simulate(hand.network, {.hours = 6});
  ASSERT_EQ(Turns_s(run, 0).size(), 1U);
  EXPECT_NEAR(Turns_s(run, 0)[0], 3 * kArea_m2 / 0.015, 1e-4);
  EXPECT_NEAR(run.periods.back().flow_m3_per_s[0], 0.005, 1e-7);
  EXPECT_NEAR(run.periods.back().flow_m3_per_s[1], 0.005, 1e-7);
  EXPECT_NEAR(run.LevelAtEnd_m(hand.network, tank), 4, 1e-7);
}

TEST(TankSimulation, AFullTankGivesAgainAsSoonAsItWould) {
  Filled filled;
  filled.hand.network[filled.tank].tank->level_m = 4;
  filled.hand.network.patterns = {{"p", {1, 8}}};
  filled.hand.network[filled.town].pattern = "p";
  const Simulated run = Simulate(filled.hand.network, {.hours = 2});
  EXPECT_NEAR(run.periods.front().outflow_m3_per_s[At(filled.tank)], 0, 1e-9);
  EXPECT_NEAR(run.periods.back().outflow_m3_per_s[At(filled.tank)], -0.02, 1e-7);
  EXPECT_NEAR(run.LevelAtEnd_m(filled.hand.network, filled.tank), 4 - 0.02 * 3600 / kArea_m2, 1e-6);
}

TEST(TankSimulation, AnEmptyTankOnlyFills) {
  Hand hand;
  const NodeIndex source = hand.Source(60);
  const NodeIndex town = hand.Junction(10, 0.03);
  const NodeIndex tank = hand.Tank(50, {10, 0.6, 0.5, 4, TankMixing::kMixed});
  hand.Pipe(source, town, 800, 0.15);
  hand.Pipe(tank, town, 300, 0.2);
  hand.network.patterns = {{"p", {1, 1, 0}}};
  hand.network[town].pattern = "p";
  const Simulated run = Simulate(hand.network, {.hours = 3});
  EXPECT_LT(run.periods.front().outflow_m3_per_s[At(tank)], -0.005);
  bool was_empty = false;
  for (const SimulatedPeriod& period : run.periods) {
    const double level_m = period.tank_volume_m3[At(tank)] / kArea_m2;
    EXPECT_GE(level_m, 0.5 - 1e-7);
    if (level_m > 0.5 + 1e-7 || period.begin_s >= 7200) continue;
    was_empty = true;
    EXPECT_NEAR(period.flow_m3_per_s[1], 0, 1e-9);
    EXPECT_NEAR(period.flow_m3_per_s[0], 0.03, 1e-7);
  }
  EXPECT_TRUE(was_empty);
  EXPECT_GT(run.periods.back().outflow_m3_per_s[At(tank)], 0.005);
  EXPECT_GT(run.LevelAtEnd_m(hand.network, tank), 0.6);
}

TEST(TankSimulation, TwoTanksComeToOneHeadAndKeepTheirWater) {
  Hand hand;
  const NodeIndex high = hand.Tank(50, {10, 4, 0, 5, TankMixing::kMixed});
  const NodeIndex low = hand.Tank(48, {20, 2, 0, 8, TankMixing::kMixed});
  hand.Pipe(high, low, 400, 0.3);
  const Simulated run = Simulate(hand.network, {.hours = 72});
  const double high_m = run.LevelAtEnd_m(hand.network, high);
  const double low_m = run.LevelAtEnd_m(hand.network, low);
  // 4 m over the smaller area become one fifth over both.
  EXPECT_NEAR(50 + high_m, 50.8, 0.005);  // the tolerance of levels
  EXPECT_NEAR(48 + low_m, 50.8, 0.005);
  // They do not swing about their rest: most of three days one state stands.
  RecordProperty("solves", static_cast<int>(run.summary.solves));
  EXPECT_LT(run.summary.solves, 100U);
  EXPECT_NEAR(run.periods.back().flow_m3_per_s[0], 0, 1e-4);
  EXPECT_NEAR(high_m * kArea_m2 + low_m * 4 * kArea_m2, 4 * kArea_m2 + 2 * 4 * kArea_m2, 1e-9);
}

// The pump of given flow of these tests is the limit; by hand: falling 5 L/s, rising 15 L/s.
struct Pumped : Filled {
  explicit Pumped(double level_m) {
    hand.network[tank].tank->level_m = level_m;
    hand.network.rules = {{LinkIndex(0), true, tank, 1, {}, {}}, {LinkIndex(0), false, tank, {}, 3, {}}};
  }
};

TEST(TankSimulation, APumpGoesOnAndOffByLevelAtTheExactTimes) {
  const Pumped pumped(3);  // at the upper mark: counts as just passed
  const Simulated run = Simulate(pumped.hand.network, {.hours = 60});
  EXPECT_EQ(run.periods[0].flow_m3_per_s[0], 0);
  const double down_s = 2 * kArea_m2 / 0.005;  // 31,416 s
  const double up_s = 2 * kArea_m2 / 0.015;    // 10,472 s
  const std::vector<double> turns_s = Turns_s(run, 0);
  ASSERT_EQ(turns_s.size(), 10U);
  double at_s = 0;
  for (size_t i = 0; i < turns_s.size(); ++i) {
    at_s += i % 2 == 0 ? down_s : up_s;
    EXPECT_NEAR(turns_s[i], at_s, 1e-4);
    EXPECT_NEAR(run.LevelAt_m(pumped.hand.network, pumped.tank, turns_s[i]), i % 2 == 0 ? 1 : 3, 1e-7);
  }
}

TEST(TankSimulation, BetweenItsMarksAPumpStaysAsItWas) {
  const Pumped pumped(2);
  const Simulated run = Simulate(pumped.hand.network, {.hours = 4});
  EXPECT_NEAR(run.periods[0].flow_m3_per_s[0], 0.02, 1e-9);
  ASSERT_EQ(Turns_s(run, 0).size(), 1U);
  EXPECT_NEAR(Turns_s(run, 0)[0], kArea_m2 / 0.015, 1e-4);
}

TEST(TankSimulation, RulesByHourFireEveryDay) {
  Filled filled;
  filled.hand.network[filled.tank].tank->diameter_m = 100;
  filled.hand.network.rules = {{LinkIndex(0), false, {}, {}, {}, 6.5}, {LinkIndex(0), true, {}, {}, {}, 22}};
  const Simulated run = Simulate(filled.hand.network, {.hours = 48});
  EXPECT_NEAR(run.periods[0].flow_m3_per_s[0], 0.02, 1e-9);
  EXPECT_THAT(Turns_s(run, 0), ElementsAre(6.5 * 3600, 22 * 3600, 30.5 * 3600, 46 * 3600));
}

TEST(TankSimulation, ALinkBothOpenedAndShutByHourBeginsAsTheDayBeforeLeftIt) {
  Filled filled;
  filled.hand.network[filled.tank].tank->diameter_m = 100;
  filled.hand.network.rules = {{LinkIndex(0), false, {}, {}, {}, 22}, {LinkIndex(0), true, {}, {}, {}, 6.5}};
  const Simulated both = Simulate(filled.hand.network, {.hours = 24});
  EXPECT_EQ(both.periods[0].flow_m3_per_s[0], 0);
  EXPECT_THAT(Turns_s(both, 0), ElementsAre(6.5 * 3600, 22 * 3600));
  filled.hand.network.rules.pop_back();
  const Simulated one = Simulate(filled.hand.network, {.hours = 48});
  EXPECT_THAT(Turns_s(one, 0), ElementsAre(22 * 3600));
}

TEST(TankSimulation, OfTwoRulesAtOneMomentTheLastWins) {
  Filled filled;
  filled.hand.network[filled.tank].tank->diameter_m = 100;
  auto& rules = filled.hand.network.rules;
  rules = {{LinkIndex(0), true, {}, {}, {}, 3}, {LinkIndex(0), false, {}, {}, {}, 3}};
  EXPECT_THAT(Turns_s(Simulate(filled.hand.network, {.hours = 6}), 0), ElementsAre());
  EXPECT_EQ(Simulate(filled.hand.network, {.hours = 6}).periods[0].flow_m3_per_s[0], 0);
  std::swap(rules[0], rules[1]);
  EXPECT_THAT(Turns_s(Simulate(filled.hand.network, {.hours = 6}), 0), ElementsAre());
  EXPECT_NEAR(Simulate(filled.hand.network, {.hours = 6}).periods[0].flow_m3_per_s[0], 0.02, 1e-9);
}

TEST(TankSimulation, ATownThatATankAloneFeedsIsDryWhenItIsEmpty) {
  Hand hand;
  const NodeIndex tank = hand.Tank(50, kTenWide);
  const NodeIndex town = hand.Junction(10, 0.005);
  hand.Pipe(tank, town, 500, 0.2);
  const Simulated run = Simulate(hand.network, {.hours = 6});
  const double empty_s = 0.5 * kArea_m2 / 0.005;  // 7,854 s
  ASSERT_EQ(Turns_s(run, 0).size(), 1U);
  EXPECT_NEAR(Turns_s(run, 0)[0], empty_s, 1e-4);
  EXPECT_EQ(run.periods.back().flow_m3_per_s[0], 0);
  EXPECT_EQ(run.periods.back().outflow_m3_per_s[At(town)], 0);
  EXPECT_NEAR(run.LevelAtEnd_m(hand.network, tank), 0.5, 1e-7);
  ASSERT_EQ(run.summary.not_fed.size(), 1U);
  EXPECT_EQ(run.summary.not_fed[0].node, town);
  EXPECT_NEAR(run.summary.not_fed[0].first_hour, empty_s / 3600, 1e-7);
  EXPECT_NEAR(run.summary.drawn_m3, 0.5 * kArea_m2, 1e-6);
}

TEST(TankSimulation, AShutPumpPassesNothingAndTheTankFeedsTheTownMeanwhile) {
  Hand hand;
  const NodeIndex well = hand.Source(20);
  const NodeIndex tank = hand.Tank(50, {10, 2, 0.5, 4, TankMixing::kMixed});
  const NodeIndex town = hand.Junction(10, 0.005);
  hand.Pump(well, town, 45, 0.01, 32);
  hand.Pipe(town, tank, 500, 0.2);
  hand.network.rules = {{LinkIndex(0), false, {}, {}, {}, 1}, {LinkIndex(0), true, {}, {}, {}, 2}};
  const Simulated run = Simulate(hand.network, {.hours = 3});
  for (const SimulatedPeriod& period : run.periods) {
    const bool is_shut = period.begin_s >= 3600 && period.begin_s < 7200;
    EXPECT_EQ(period.flow_m3_per_s[0] == 0, is_shut) << period.begin_s;
    if (!is_shut) continue;
    EXPECT_NEAR(period.outflow_m3_per_s[At(tank)], -0.005, 1e-7);
  }
  EXPECT_NEAR(run.LevelAt_m(hand.network, tank, 3600) - run.LevelAt_m(hand.network, tank, 7200),
              0.005 * 3600 / kArea_m2, 1e-6);
}

TEST(TankSimulation, StillTanksCostOneState) {
  Hand hand;
  const NodeIndex source = hand.Source(52);
  const NodeIndex tank = hand.Tank(50, {10, 2, 0, 4, TankMixing::kMixed});
  hand.Pipe(source, tank, 500, 0.2);
  const Simulated run = Simulate(hand.network, {.hours = 48});
  EXPECT_EQ(run.summary.solves, 1U);
  EXPECT_GT(run.summary.reused, 10U);
  EXPECT_NEAR(run.LevelAtEnd_m(hand.network, tank), 2, 1e-3);
}

TEST(TankSimulation, FaultsOfRulesAndTanksAreNamed) {
  const auto said = [](const Network& network) {
    const auto made = FlowSimulation::Make(network, {.hours = 1});
    return made.ok() ? "nothing" : made.error().ToString();
  };
  Filled filled;
  Network network = filled.hand.network;
  network.rules = {{LinkIndex(0), true, filled.town, 1, {}, {}}};
  EXPECT_THAT(said(network), HasSubstr("a rule of link 'L0' watches what is no tank with levels"));
  network.rules = {{LinkIndex(0), true, filled.tank, 1, 2, {}}};
  EXPECT_THAT(said(network), HasSubstr("has not exactly one condition"));
  network.rules = {{LinkIndex(0), true, {}, {}, {}, 4}};
  network.links[0].kind = LinkKind::kClosed;
  EXPECT_THAT(said(network), HasSubstr("acts on a link that is closed for good"));
  network = filled.hand.network;
  network[filled.tank].tank->min_level_m = -1;
  EXPECT_THAT(said(network), HasSubstr("tank 'N1' has a lowest level below its elevation"));
  EXPECT_THAT(FlowSimulation::Make(filled.hand.network, {.hours = 0}).error().ToString(), HasSubstr("hours"));
}

}  // namespace
}  // namespace lastreach
