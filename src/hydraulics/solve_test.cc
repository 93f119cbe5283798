#include "hydraulics/solve.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "hydraulics/test_networks.h"

namespace lastreach {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;

SteadyState Solved(const Network& network) {
  const auto state = SolveSteady(network);
  EXPECT_TRUE(state.ok()) << state.error().ToString();
  EXPECT_EQ(state->summary.status, SolveStatus::kConverged) << state->summary.BriefReport(network);
  EXPECT_LT(state->summary.mass_imbalance_m3_per_s, 1e-9);
  EXPECT_LT(state->summary.energy_imbalance_m, 1e-6);
  return *state;
}

// From the printed law, w = 10.667.
double HazenWilliams_m(double length_m, double diameter_m, double c, double flow) {
  return 10.667 * length_m * std::pow(flow, 1.852) / (std::pow(c, 1.852) * std::pow(diameter_m, 4.871));
}

TEST(SteadyState, OfATreeIsTheSumOfTheDemandsBeyond) {
  Hand hand;
  const NodeIndex source = hand.Source(100);
  const NodeIndex a = hand.Junction(10, 0.01);
  const NodeIndex b = hand.Junction(10, 0.02);
  hand.Pipe(source, a, 800, 0.3);
  hand.Pipe(b, a, 500, 0.2);
  const SteadyState state = Solved(hand.network);
  EXPECT_THAT(state.flow_m3_per_s, ElementsAre(0.03, -0.02));
  EXPECT_NEAR(state.head_m[2],
              100 - HazenWilliams_m(800, 0.3, 120, 0.03) - HazenWilliams_m(500, 0.2, 120, 0.02), 2e-8);
  EXPECT_EQ(state.summary.unknown_heads, 0U);
  EXPECT_NEAR(state.outflow_m3_per_s[0], -0.03, 1e-15);
}

TEST(SteadyState, CustomersAlongALinkDrawAtItsTwoEndsByPlace) {
  Hand hand;
  const NodeIndex source = hand.Source(50);
  const NodeIndex a = hand.Junction(0, 0);
  const NodeIndex b = hand.Junction(0, 0);
  hand.Pipe(source, a, 100, 0.1);
  hand.Pipe(a, b, 100, 0.1);
  hand.network.connections.push_back({LinkIndex(1), 25, 1, Sourced<double>{0.004, {}}, {}});
  const SteadyState state = Solved(hand.network);
  EXPECT_NEAR(state.flow_m3_per_s[1], 0.001, 1e-15);
  EXPECT_NEAR(state.outflow_m3_per_s[1], 0.003, 1e-15);
}

TEST(SteadyState, PatternsOfDemandsAndSourcesCountAtHour0) {
  Hand hand;
  const NodeIndex source = hand.Source(100);
  const NodeIndex a = hand.Junction(0, 0.01);
  hand.Pipe(source, a, 100, 0.2);
  hand.network.patterns = {{"p", {0.5, 2}}, {"h", {1.1, 1}}};
  hand.network[a].pattern = "p";
  hand.network[source].pattern = "h";
  const SteadyState state = Solved(hand.network);
  EXPECT_NEAR(state.flow_m3_per_s[0], 0.005, 1e-15);
  EXPECT_NEAR(state.head_m[0], 110, 1e-12);
  EXPECT_NEAR(SolveSteady(hand.network, {.hour = 3.5, .core = {}})->flow_m3_per_s[0], 0.02, 1e-15);
}

TEST(SteadyState, ZeroDemandMeansStillWaterAtTheSourcesHead) {
  Hand hand;
  const NodeIndex source = hand.Source(70);
  const NodeIndex a = hand.Junction(0, 0), b = hand.Junction(0, 0);
  hand.Pipe(source, a, 100, 0.2);
  hand.Pipe(a, b, 100, 0.2);
  hand.Pipe(b, source, 100, 0.2);
  const SteadyState state = Solved(hand.network);
  for (const double flow : state.flow_m3_per_s) EXPECT_NEAR(flow, 0, 1e-7);
  for (const double head_m : state.head_m) EXPECT_NEAR(head_m, 70, 1e-7);
}

TEST(SteadyState, ThinLongPipesBesideWideShortOnesAreFine) {
  Hand hand;
  const NodeIndex source = hand.Source(70);
  const NodeIndex a = hand.Junction(0, 0.3), b = hand.Junction(0, 1e-5), c = hand.Junction(0, 0.1);
  hand.Pipe(source, a, 1, 1);
  hand.Pipe(source, a, 1, 1);
  hand.Pipe(a, b, 900, 0.025);
  hand.Pipe(b, c, 900, 0.025);
  hand.Pipe(a, c, 2, 1);
  hand.Pipe(a, c, 0, 1);  // of no length: resists next to nothing
  const SteadyState state = Solved(hand.network);
  EXPECT_NEAR(state.flow_m3_per_s[0], state.flow_m3_per_s[1], 1e-6);
}

TEST(SteadyState, PartsThatNothingFeedsAreNamedAndTheRestIsSolved) {
  Hand hand;
  const NodeIndex source = hand.Source(70);
  const NodeIndex a = hand.Junction(0, 0.01), b = hand.Junction(0, 0.01), c = hand.Junction(0, 0);
  const NodeIndex alone = hand.Junction(0, 0), behind = hand.Junction(0, 0.001);
  hand.Pipe(source, a, 100, 0.2);
  hand.Pipe(b, c, 100, 0.2);
  hand.Pipe(behind, a, 100, 0.2, 120, LinkKind::kCheck);  // lets water out of `behind` alone
  hand.Add(LinkKind::kClosed, a, b);
  const SteadyState state = Solved(hand.network);
  EXPECT_THAT(state.summary.not_fed, ElementsAre(b, c, alone, behind));
  EXPECT_THAT(state.summary.BriefReport(hand.network), HasSubstr("not fed: 4 nodes, the first N2"));
  EXPECT_TRUE(std::isnan(state.head_m[At(behind)]));
  EXPECT_EQ(state.flow_m3_per_s[2], 0);
}

TEST(SteadyState, WithoutASourceNothingIsFed) {
  Hand hand;
  hand.Junction(0, 0.01);
  const auto state = SolveSteady(hand.network);
  ASSERT_TRUE(state.ok());
  EXPECT_EQ(state->summary.status, SolveStatus::kNothingFed);
}

TEST(SteadyState, BetweenTwoSourcesAlonePipesFlowByTheirHeads) {
  Hand hand;
  const NodeIndex high = hand.Source(70), low = hand.Source(60);
  hand.Pipe(low, high, 1000, 0.2);
  const SteadyState state = Solved(hand.network);
  EXPECT_NEAR(HazenWilliams_m(1000, 0.2, 120, -state.flow_m3_per_s[0]), 10, 1e-6);
  EXPECT_NEAR(state.outflow_m3_per_s[1], -state.flow_m3_per_s[0], 1e-15);
}

TEST(SteadyState, ATankHoldsItsLevelAboveItsElevation) {
  Hand hand;
  const NodeIndex tank = hand.Junction(40, 0), a = hand.Junction(0, 0.001);
  hand.network[tank].kind = NodeKind::kTank;
  hand.network[tank].tank = TankShape{10, 3.5, 0, 6};
  hand.Pipe(tank, a, 10, 0.2);
  EXPECT_EQ(Solved(hand.network).head_m[0], 43.5);
}

TEST(CheckValve, PassesWaterForwardAndHoldsItBack) {
  for (const bool forward : {true, false}) {
    Hand hand;
    const NodeIndex high = hand.Source(80), low = hand.Source(60), a = hand.Junction(0, 0.01);
    hand.Pipe(high, a, 500, 0.2);
    hand.Pipe(forward ? a : low, forward ? low : a, 500, 0.2, 120, LinkKind::kCheck);
    const SteadyState state = Solved(hand.network);
    if (forward) {
      EXPECT_GT(state.flow_m3_per_s[1], 0.01);
    } else {
      EXPECT_EQ(state.flow_m3_per_s[1], 0);
      EXPECT_NEAR(state.flow_m3_per_s[0], 0.01, 1e-11);
    }
  }
}

TEST(Pump, LiftsByItsCurveAndStopsWhereItCannot) {
  Hand hand;
  const NodeIndex low = hand.Source(10), a = hand.Junction(0, 0.02);
  hand.Pump(low, a, 60, 0.02, 45);
  EXPECT_NEAR(Solved(hand.network).head_m[1], 55, 1e-6);
  const NodeIndex high = hand.Source(75);
  hand.Pipe(high, a, 1, 0.5);
  const SteadyState stopped = Solved(hand.network);
  EXPECT_EQ(stopped.flow_m3_per_s[0], 0);
  EXPECT_NEAR(stopped.head_m[1], 75, 0.01);
}

TEST(Pump, TwoSideBySideShareTheFlow) {
  Hand hand;
  const NodeIndex low = hand.Source(10), a = hand.Junction(0, 0.04);
  hand.Pump(low, a, 60, 0.02, 45);
  hand.Pump(low, a, 60, 0.02, 45);
  const SteadyState state = Solved(hand.network);
  EXPECT_NEAR(state.flow_m3_per_s[0], 0.02, 1e-9);
  EXPECT_NEAR(state.head_m[1], 55, 1e-6);
}

struct Reduced {
  Hand hand;
  NodeIndex source, before, after, end;
  explicit Reduced(double setting_m, double head_m = 90) {
    source = hand.Source(head_m);
    before = hand.Junction(20, 0);
    after = hand.Junction(20, 0);
    end = hand.Junction(5, 0.01);
    hand.Pipe(source, before, 500, 0.2);
    hand.Valve(LinkKind::kReducing, before, after, setting_m);
    hand.Pipe(after, end, 500, 0.15);
  }
};

TEST(ReducingValve, HoldsThePressureBehindItAtTheSetting) {
  Reduced town(30);
  const SteadyState state = Solved(town.hand.network);
  EXPECT_NEAR(state.head_m[2], 50, 1e-9);
  EXPECT_NEAR(state.flow_m3_per_s[1], 0.01, 1e-11);
  EXPECT_NEAR(state.head_m[3], 50 - HazenWilliams_m(500, 0.15, 120, 0.01), 1e-7);
}

TEST(ReducingValve, StandsOpenWherePressureIsShort) {
  Reduced town(80);
  const SteadyState state = Solved(town.hand.network);
  const double velocity_head_m = std::pow(0.01 / (M_PI / 4 * 0.15 * 0.15), 2) / (2 * 9.80665);
  EXPECT_NEAR(state.head_m[1] - state.head_m[2], 2 * velocity_head_m, 1e-6);
}

TEST(ReducingValve, ShutsWhereAnotherFeedIsAboveItsSetting) {
  Reduced town(30);
  const NodeIndex other = town.hand.Source(70);
  town.hand.Pipe(other, town.end, 10, 0.3);
  const SteadyState state = Solved(town.hand.network);
  EXPECT_EQ(state.flow_m3_per_s[1], 0);
  EXPECT_GT(state.head_m[2], 60);
}

TEST(ReducingValve, OfTwoSideBySideTheHigherSettingRules) {
  Reduced town(30);
  town.hand.Valve(LinkKind::kReducing, town.before, town.after, 25);
  const SteadyState state = Solved(town.hand.network);
  EXPECT_NEAR(state.head_m[2], 50, 1e-6);
  EXPECT_NEAR(state.flow_m3_per_s[1], 0.01, 1e-9);
  EXPECT_NEAR(state.flow_m3_per_s[3], 0, 1e-9);
}

TEST(ReducingValve, TwoAlikeSideBySideShareTheFlow) {
  Reduced town(30);
  town.hand.Valve(LinkKind::kReducing, town.before, town.after, 30);
  const SteadyState state = Solved(town.hand.network);
  EXPECT_NEAR(state.flow_m3_per_s[1], 0.005, 1e-9);
  EXPECT_NEAR(state.head_m[2], 50, 1e-9);
}

TEST(ReducingValve, TwoFeedingOneZoneBothHold) {
  Reduced town(30);
  const NodeIndex before = town.hand.Junction(10, 0), after = town.hand.Junction(10, 0);
  town.hand.Pipe(town.source, before, 700, 0.15);
  town.hand.Valve(LinkKind::kReducing, before, after, 39.9);
  town.hand.Pipe(after, town.end, 300, 0.15);
  const SteadyState state = Solved(town.hand.network);
  EXPECT_NEAR(state.head_m[2], 50, 1e-9);
  EXPECT_NEAR(state.head_m[At(after)], 49.9, 1e-9);
  EXPECT_GT(state.flow_m3_per_s[1], 1e-4);
  EXPECT_GT(state.flow_m3_per_s[4], 1e-4);
}

TEST(SustainingValve, HoldsThePressureBeforeItByThrottling) {
  Hand hand;
  const NodeIndex source = hand.Source(60), before = hand.Junction(10, 0.005), after = hand.Junction(0, 0);
  const NodeIndex low = hand.Source(20);
  hand.Pipe(source, before, 500, 0.15);
  hand.Valve(LinkKind::kSustaining, before, after, 40);
  hand.Pipe(after, low, 200, 0.2);
  const SteadyState state = Solved(hand.network);
  EXPECT_NEAR(state.head_m[1], 50, 1e-9);
  EXPECT_NEAR(HazenWilliams_m(500, 0.15, 120, state.flow_m3_per_s[0]), 10, 1e-6);
}

TEST(SustainingValve, ShutsWhereThePressureCannotBeHeld) {
  Hand hand;
  const NodeIndex source = hand.Source(60), before = hand.Junction(10, 0.005), after = hand.Junction(0, 0);
  const NodeIndex low = hand.Source(20);
  hand.Pipe(source, before, 500, 0.15);
  hand.Valve(LinkKind::kSustaining, before, after, 52);
  hand.Pipe(after, low, 200, 0.2);
  EXPECT_EQ(Solved(hand.network).flow_m3_per_s[1], 0);
}

TEST(LimitingValve, LetsThroughNoMoreThanTheSetting) {
  for (const double setting : {0.004, 1.0}) {
    Hand hand;
    const NodeIndex high = hand.Source(60), a = hand.Junction(0, 0.01), low = hand.Source(40);
    hand.Valve(LinkKind::kLimiting, high, a, setting);
    hand.Pipe(a, low, 500, 0.1);
    const SteadyState state = Solved(hand.network);
    if (setting < 1) {
      EXPECT_EQ(state.flow_m3_per_s[0], 0.004);
      EXPECT_NEAR(state.flow_m3_per_s[1], -0.006, 1e-11);
    } else {
      EXPECT_GT(state.flow_m3_per_s[0], 0.02);
      EXPECT_LT(state.flow_m3_per_s[0], 1);
    }
  }
}

TEST(LimitingValve, ThatCannotPassWhatIsDrawnIsNamed) {
  Hand hand;
  const NodeIndex high = hand.Source(60), a = hand.Junction(0, 0.01);
  hand.Valve(LinkKind::kLimiting, high, a, 0.004);
  const auto state = SolveSteady(hand.network);
  ASSERT_TRUE(state.ok());
  EXPECT_EQ(state->summary.status, SolveStatus::kDidNotConverge);
  EXPECT_THAT(state->summary.unsettled, ElementsAre(LinkIndex(0)));
  EXPECT_THAT(state->summary.BriefReport(hand.network), HasSubstr("L0"));
}

TEST(Device, OfAGivenFlowDrawsItWhileItRuns) {
  Hand hand;
  const NodeIndex source = hand.Source(60), a = hand.Junction(0, 0.001);
  hand.Pipe(source, a, 10, 0.2);
  hand.network.runs = {{a, 0, 30, 0.004, {}, {}}, {a, 1, 30, 0.1, {}, {}}};
  EXPECT_NEAR(Solved(hand.network).flow_m3_per_s[0], 0.005, 1e-15);
}

// Q = c A sqrt(2 g p), Torricelli, by hand at the pressure found.
TEST(Device, ThroughAnOpeningDrawsWhatThePressureDrivesAndNeverTakesItBelowNone) {
  Hand hand;
  const NodeIndex source = hand.Source(60), a = hand.Junction(10, 0), high = hand.Junction(80, 0);
  hand.Pipe(source, a, 1000, 0.1);
  hand.Pipe(a, high, 1000, 0.1);
  hand.network.runs = {{a, 0, 30, {}, 0.05, 0.8}, {high, 0, 30, {}, 0.05, 0.8}};
  const SteadyState state = Solved(hand.network);
  const double pressure_m = state.head_m[1] - 10;
  EXPECT_GT(pressure_m, 0);
  EXPECT_NEAR(state.outflow_m3_per_s[1], 0.8 * M_PI / 4 * 0.0025 * std::sqrt(2 * 9.80665 * pressure_m), 1e-9);
  EXPECT_EQ(state.outflow_m3_per_s[2], 0);
  EXPECT_NEAR(state.flow_m3_per_s[1], 0, 1e-9);
}

TEST(SteadyState, WhatTheAnswerNeedsAndTheNetworkLacksIsNamed) {
  Hand hand;
  const NodeIndex source = hand.Source(60), a = hand.Junction(10, 0);
  hand.Pipe(source, a, 1000, 0.1).inner_diameter_m.reset();
  EXPECT_THAT(SolveSteady(hand.network).error().ToString(), HasSubstr("'L0' has no diameter"));
  hand.network.links.clear();
  hand.Add(LinkKind::kPump, source, a);
  EXPECT_THAT(SolveSteady(hand.network).error().ToString(), HasSubstr("'L0' has no curve"));
  hand.network.links.clear();
  hand.network[source].head_m.reset();
  EXPECT_THAT(SolveSteady(hand.network).error().ToString(), HasSubstr("'N0' is a source without a head"));
}

}  // namespace
}  // namespace lastreach
