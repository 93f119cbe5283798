#include "hydraulics/flow_simulation.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "hydraulics/simulated.h"
#include "hydraulics/test_networks.h"

namespace lastreach {
namespace {

using ::testing::DoubleNear;
using ::testing::ElementsAre;

TEST(FlowSimulation, OfWhatDoesNotChangeIsOnePeriodOfOneState) {
  Hand hand;
  const NodeIndex source = hand.Source(100);
  hand.Pipe(source, hand.Junction(10, 0.01), 800, 0.3);
  const Simulated run = Simulate(hand.network, {.hours = 48});
  ASSERT_EQ(run.periods.size(), 1U);
  EXPECT_EQ(run.periods[0].begin_s, 0);
  EXPECT_EQ(run.periods[0].end_s, 48 * 3600);
  EXPECT_THAT(run.periods[0].flow_m3_per_s, ElementsAre(0.01));
  EXPECT_THAT(run.periods[0].tank_volume_m3, ElementsAre(0, 0));
  EXPECT_EQ(run.summary.solves, 1U);
  EXPECT_NEAR(run.summary.drawn_m3, 0.01 * 48 * 3600, 1e-9);
}

TEST(FlowSimulation, PatternsChangeAtTheirHoursAndOnlyWhereTheFactorDoes) {
  Hand hand;
  const NodeIndex source = hand.Source(100);
  const NodeIndex a = hand.Junction(10, 0.01);
  hand.Pipe(source, a, 800, 0.3);
  hand.network.patterns = {{"day", {1, 1, 2, 2, 0.5}}, {"not used", {1, 7}}};
  hand.network[a].pattern = "day";
  const Simulated run = Simulate(hand.network, {.hours = 8});
  EXPECT_THAT(run.Begins_h(), ElementsAre(0, 2, 4, 5, 7));
  EXPECT_THAT(run.Flows(0), ElementsAre(0.01, 0.02, 0.005, 0.01, 0.02));
}

TEST(FlowSimulation, ADeviceRunsToTheSecondAndRunsThatOverlapAdd) {
  Hand hand;
  const NodeIndex source = hand.Source(100);
  const NodeIndex a = hand.Junction(10, 0.001);
  hand.Pipe(source, a, 800, 0.3);
  hand.network.runs = {{a, 0.175, 6.5, 0.004, {}, {}}, {a, 0.25, 6, 0.002, {}, {}}};
  const Simulated run = Simulate(hand.network, {.hours = 1});
  // 00:10:30 to 00:17:00, and 00:15 to 00:21.
  EXPECT_THAT(run.Begins_s(), ElementsAre(0, 630, 900, 1020, 1260));
  EXPECT_THAT(run.Flows(0), ElementsAre(0.001, 0.005, DoubleNear(0.007, 1e-15), 0.003, 0.001));
  EXPECT_NEAR(run.summary.drawn_m3, 3.6 + 0.004 * 390 + 0.002 * 360, 1e-9);
}

TEST(FlowSimulation, ADeviceThroughAnOpeningDrawsWhatThePressureDrives) {
  Hand hand;
  const NodeIndex source = hand.Source(100);
  const NodeIndex a = hand.Junction(60, 0);
  hand.Pipe(source, a, 1, 0.3);
  hand.network.runs = {{a, 0.5, 30, {}, 0.05, 0.8}};
  const Simulated run = Simulate(hand.network, {.hours = 1});
  ASSERT_THAT(run.Begins_s(), ElementsAre(0, 1800));
  EXPECT_NEAR(run.periods[0].outflow_m3_per_s[1], 0, 1e-12);
  const double head_m = run.periods[1].head_m[1];
  EXPECT_NEAR(run.periods[1].outflow_m3_per_s[1],
              0.8 * std::numbers::pi / 4 * 0.0025 * std::sqrt(2 * 9.80665 * (head_m - 60)), 1e-6);
}

TEST(FlowSimulation, StatesThatComeAgainAreNotSolvedAgain) {
  Hand hand;
  const NodeIndex source = hand.Source(100);
  const NodeIndex a = hand.Junction(10, 0.01);
  const NodeIndex b = hand.Junction(10, 0.01);
  hand.Pipe(source, a, 800, 0.3);
  hand.Pipe(source, b, 500, 0.2);
  hand.Pipe(a, b, 500, 0.2);
  hand.network.patterns = {{"day", {}}};
  for (int hour = 0; hour < 24; ++hour) hand.network.patterns[0].factors.push_back(1 + 0.01 * hour);
  hand.network[a].pattern = "day";
  for (int day = 0; day < 7; ++day) {
    hand.network.runs.push_back({a, 24.0 * day + 3.25, 30, 0.004, {}, {}});
    hand.network.runs.push_back({b, 24.0 * day + 4.25, 30, {}, 0.02, 0.6});
  }
  hand.network.rules = {{LinkIndex(1), false, {}, {}, {}, 6.5}, {LinkIndex(1), true, {}, {}, {}, 7}};
  const Simulated run = Simulate(hand.network, {.hours = 168});
  EXPECT_EQ(run.summary.solves, 24U + 1 + 1 + 1);
  EXPECT_EQ(run.summary.reused, 7 * (24 + 2 + 2 + 1) - run.summary.solves);
  // The same without room to keep any.
  const Simulated anew = Simulate(hand.network, {.hours = 168, .kept_states_bytes = 0});
  ASSERT_EQ(anew.Begins_s(), run.Begins_s());
  EXPECT_EQ(anew.summary.solves, run.summary.solves + run.summary.reused);
  for (size_t i = 0; i < run.periods.size(); ++i) {
    for (size_t link = 0; link < 3; ++link) {
      EXPECT_NEAR(anew.periods[i].flow_m3_per_s[link], run.periods[i].flow_m3_per_s[link], 1e-7);
    }
    for (size_t node = 0; node < 3; ++node) {
      EXPECT_NEAR(anew.periods[i].outflow_m3_per_s[node], run.periods[i].outflow_m3_per_s[node], 1e-7);
      EXPECT_NEAR(anew.periods[i].head_m[node], run.periods[i].head_m[node], 1e-5);
    }
    // A day is the day before, to the bit.
    const size_t a_day = run.periods.size() / 7;
    if (i < a_day) continue;
    EXPECT_EQ(run.periods[i].flow_m3_per_s, run.periods[i % a_day].flow_m3_per_s);
    EXPECT_EQ(run.periods[i].head_m, run.periods[i % a_day].head_m);
  }
}

TEST(FlowSimulation, ATankFillsInAStraightLineAndStopsFull) {
  Hand hand;
  const NodeIndex source = hand.Source(80);
  const NodeIndex tank = hand.Tank(50, {10, 1, 0, 4, TankMixing::kMixed});
  hand.Add(LinkKind::kLimiting, source, tank).setting = 0.02;
  const Simulated run = Simulate(hand.network, {.hours = 5});
  const double full_s = 3 * std::numbers::pi / 4 * 100 / 0.02;  // 3 m to go: 11,781 s
  const std::vector<double> begins_s = run.Begins_s();
  const auto stops = std::find_if(begins_s.begin(), begins_s.end(),
                                  [&](double begin_s) { return std::abs(begin_s - full_s) < 1e-6; });
  ASSERT_NE(stops, begins_s.end());
  for (const SimulatedPeriod& period : run.periods) {
    EXPECT_NEAR(period.flow_m3_per_s[0], period.begin_s < full_s - 1 ? 0.02 : 0, 1e-9);
  }
  EXPECT_NEAR(run.LevelAtEnd_m(hand.network, tank), 4, 1e-9);
  EXPECT_NEAR(run.summary.tank_change_m3, 3 * std::numbers::pi / 4 * 100, 1e-6);
}

}  // namespace
}  // namespace lastreach
