#include "together/pressure_judge.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "hydraulics/solve.h"
#include "together/random_towns.h"

namespace lastreach {
namespace {

OpenSet RandomSet(RandomTown& town) {
  OpenSet open;
  for (uint32_t d = 0; d < town.points.size(); ++d) {
    if (town.Pick(2)) open.push_back(d);
  }
  return open;
}

TEST(PressureJudge, FindsWhatAFlatSolveFinds) {
  std::mt19937_64 random(1);
  int broken = 0, judged_sets = 0;
  for (int turn = 0; turn < 40; ++turn) {
    RandomTown town(random, 8, 5, true);
    // One limit a town: with two the strictest decides which places are left out.
    const std::vector<LeastPressureThere> limits = {{"", town.In(20, 45), "made up"}};
    auto judge = PressureJudge::Make(town.network(), town.points, limits);
    ASSERT_TRUE(judge.ok()) << judge.error().ToString();
    for (int i = 0; i < 12; ++i) {
      const int hour = town.Pick(24);
      const size_t state = judge->moments().state_of_moment[static_cast<size_t>(hour)];
      const OpenSet open = RandomSet(town);
      const double flat = LeastSpareFlat_m(town.network(), hour, open, town.points, limits);
      const JudgedSet judged = judge->Judge(state, open);
      if (std::abs(flat + 1e-3) < 1e-5) continue;
      EXPECT_EQ(judged.Holds(), flat >= -1e-3) << turn << " " << flat << " " << judged.least_spare_m;
      ++judged_sets;
      broken += judged.Holds() ? 0 : 1;
    }
  }
  EXPECT_GT(broken, judged_sets / 20);
  EXPECT_LT(broken, judged_sets);
}

TEST(PressureJudge, GivesTheSpareItselfForASetSolvedAfresh) {
  std::mt19937_64 random(2);
  for (int turn = 0; turn < 20; ++turn) {
    RandomTown town(random, 8, 4, true);
    const std::vector<LeastPressureThere> limits = {{"", 25, "made up"}};
    auto judge = PressureJudge::Make(town.network(), town.points, limits);
    ASSERT_TRUE(judge.ok());
    const OpenSet open = RandomSet(town);
    const double flat = LeastSpareFlat_m(town.network(), 12, open, town.points, limits);
    const JudgedSet judged = judge->Judge(judge->moments().state_of_moment[12], open);
    if (std::isfinite(flat)) {
      EXPECT_NEAR(judged.least_spare_m, flat, 1e-5);
    }
  }
}

TEST(PressureJudge, SumsOfDropsPromiseNoLessThanThereIsOnTrees) {
  std::mt19937_64 random(3);
  for (int turn = 0; turn < 30; ++turn) {
    RandomTown town(random, 8, 4, false);
    auto judge = PressureJudge::Make(town.network(), town.points, {{"", -1000, "none"}});
    ASSERT_TRUE(judge.ok());
    for (size_t state = 0; state < judge->states(); ++state) {
      Supply supply = judge->moments().states[state];
      const SteadyState without = *SolveSteady(town.network(), supply);
      for (const DrawingPoint& point : town.points)
        supply.demand_m3_per_s[At(point.node)] += point.flow_m3_per_s;
      const SteadyState with = *SolveSteady(town.network(), supply);
      for (size_t p = 0; p < judge->places().size(); ++p) {
        const size_t node = At(judge->places()[p]);
        double sum = 0;
        for (uint32_t d = 0; d < town.points.size(); ++d) sum += judge->Drop_m(state, d)[p];
        EXPECT_LE(sum, without.head_m[node] - with.head_m[node] + 1e-4);
      }
    }
  }
}

TEST(PressureJudge, SparesSolvesByWhatHoldsAndWhatBreaks) {
  std::mt19937_64 random(4);
  RandomTown town(random, 8, 4, true);
  auto judge = PressureJudge::Make(town.network(), town.points, {{"", -1000, "none"}});
  ASSERT_TRUE(judge.ok());
  ASSERT_TRUE(judge->Judge(0, {0, 1, 2, 3}).Holds());
  const size_t before = judge->summary().solves;
  EXPECT_TRUE(judge->Judge(0, {1, 3}).Holds());
  EXPECT_TRUE(judge->Judge(0, {0, 1, 2, 3}).Holds());
  EXPECT_EQ(judge->summary().solves, before);
}

TEST(PressureJudge, NamesPlacesShortWithNoDeviceOpenAndJudgesTheOthers) {
  Hand hand;
  const NodeIndex source = hand.Source(50), low = hand.Junction(0, 1e-3), high = hand.Junction(45, 1e-3);
  hand.Pipe(source, low, 100, 0.1);
  hand.Pipe(low, high, 100, 0.1);
  auto judge = PressureJudge::Make(hand.network, {{low, 1e-3}}, {{"", 14, "state rule"}});
  ASSERT_TRUE(judge.ok());
  ASSERT_EQ(judge->ShortWithoutDevices().size(), 1U);
  EXPECT_TRUE(judge->ShortWithoutDevices()[0].starts_with("N2: ")) << judge->ShortWithoutDevices()[0];
  EXPECT_TRUE(judge->ShortWithoutDevices()[0].ends_with("(source: state rule)"));
  EXPECT_TRUE(judge->Judge(0, {0}).Holds());
}

TEST(PressureMoments, TakeTheLowestLevelOfATankInEachHour) {
  Hand hand;
  const NodeIndex source = hand.Source(40);
  const NodeIndex tank = hand.Tank(30, {5, 4, 0.5, 8, TankMixing::kMixed});
  const NodeIndex town = hand.Junction(0, 4e-3);
  hand.network[town].pattern = "day";
  hand.Pipe(source, town, 2000, 0.1);
  hand.Pipe(town, tank, 200, 0.15);
  Pattern day{"day", std::vector<double>(24, 0.3)};
  for (size_t hour = 7; hour < 19; ++hour) day.factors[hour] = 2;
  hand.network.patterns = {day};
  const auto moments = MomentsOf(hand.network);
  ASSERT_TRUE(moments.ok()) << moments.error().ToString();
  const auto head = [&](size_t hour) {
    return moments->states[moments->state_of_moment[hour]].fixed_head_m[At(tank)];
  };
  EXPECT_LT(head(18), head(6) - 0.5);
  EXPECT_GE(head(18), 30.5 - 1e-9);
  EXPECT_LE(head(6), 38);
}

TEST(PressureMoments, AreOfAWeekWhereAPatternsDaysDiffer) {
  Hand hand;
  const NodeIndex source = hand.Source(40), town = hand.Junction(0, 4e-3);
  hand.network[town].pattern = "week";
  hand.Pipe(source, town, 200, 0.1);
  hand.network.patterns = {{"week", std::vector<double>(168, 1)}};
  hand.network.patterns[0].factors[30] = 2;
  const auto moments = MomentsOf(hand.network);
  ASSERT_TRUE(moments.ok());
  EXPECT_EQ(moments->state_of_moment.size(), 168U);
  EXPECT_EQ(moments->states.size(), 2U);
  EXPECT_NE(moments->state_of_moment[30], moments->state_of_moment[6]);
}

TEST(PressureMoments, HoldAPatternOfOddLengthAtItsGreatestAndSaySo) {
  Hand hand;
  const NodeIndex source = hand.Source(40), town = hand.Junction(0, 1e-3);
  hand.network[town].pattern = "odd";
  hand.Pipe(source, town, 200, 0.1);
  hand.network.patterns = {{"odd", {1, 3, 2, 1, 1}}};
  const auto moments = MomentsOf(hand.network);
  ASSERT_TRUE(moments.ok());
  ASSERT_EQ(moments->states.size(), 1U);
  EXPECT_DOUBLE_EQ(moments->states[0].demand_m3_per_s[At(town)], 3e-3);
  EXPECT_EQ(moments->assumed.size(), 1U);
}

}  // namespace
}  // namespace lastreach
