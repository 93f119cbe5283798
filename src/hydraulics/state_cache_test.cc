#include "hydraulics/state_cache.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>

namespace lastreach {
namespace {

constexpr double kUnknown_m = std::numeric_limits<double>::quiet_NaN();

struct Moment {
  Supply supply;
  SteadyState state;
};

// Heads within a hundred metres, some not known; one node in ten draws something else than asked.
Moment AnyMoment(size_t nodes, size_t links, uint32_t seed) {
  std::mt19937 engine(seed);
  std::uniform_real_distribution<double> unit(0, 1);
  Moment moment;
  for (size_t i = 0; i < nodes; ++i) {
    moment.supply.demand_m3_per_s.push_back(unit(engine) * 1e-3);
    const bool is_else = unit(engine) < 0.1;
    moment.state.outflow_m3_per_s.push_back(is_else ? -unit(engine) : moment.supply.demand_m3_per_s.back());
    moment.state.head_m.push_back(unit(engine) < 0.1 ? kUnknown_m : 100 * unit(engine) - 30);
  }
  for (size_t i = 0; i < links; ++i) moment.state.flow_m3_per_s.push_back(unit(engine) - 0.5);
  moment.state.summary.status = SolveStatus::kConverged;
  moment.state.summary.not_fed = {NodeIndex(3)};
  return moment;
}

TEST(StateCache, GivesFlowsAsTheyWereAndHeadsToATenthOfTheSolversTolerance) {
  StateCache cache(1 << 20);
  for (const uint32_t seed : {1U, 2U, 3U}) {
    const Moment moment = AnyMoment(500, 700, seed);
    ASSERT_TRUE(cache.Keep({1.0 * seed}, moment.supply, moment.state));
  }
  for (const uint32_t seed : {3U, 1U, 2U}) {
    const Moment moment = AnyMoment(500, 700, seed);
    SteadyState found = AnyMoment(7, 900, 9).state;
    ASSERT_TRUE(cache.Find({1.0 * seed}, moment.supply, found));
    EXPECT_EQ(found.flow_m3_per_s, moment.state.flow_m3_per_s);
    EXPECT_EQ(found.outflow_m3_per_s, moment.state.outflow_m3_per_s);
    EXPECT_EQ(found.summary.not_fed, moment.state.summary.not_fed);
    EXPECT_EQ(found.summary.status, SolveStatus::kConverged);
    ASSERT_EQ(found.head_m.size(), moment.state.head_m.size());
    for (size_t i = 0; i < found.head_m.size(); ++i) {
      EXPECT_EQ(std::isnan(found.head_m[i]), std::isnan(moment.state.head_m[i]));
      // Half a step of 100 m / 2^32 is 1.2e-8 m.
      if (std::isnan(found.head_m[i])) continue;
      EXPECT_NEAR(found.head_m[i], moment.state.head_m[i], 1.3e-8);
    }
  }
}

TEST(StateCache, KnowsNoStateOfAnotherKey) {
  StateCache cache(1 << 20);
  const Moment moment = AnyMoment(10, 10, 1);
  SteadyState found;
  EXPECT_FALSE(cache.Find({1}, moment.supply, found));
  ASSERT_TRUE(cache.Keep({1}, moment.supply, moment.state));
  EXPECT_FALSE(cache.Find({1, 0}, moment.supply, found));
  EXPECT_TRUE(cache.Find({1}, moment.supply, found));
}

TEST(StateCache, HeadsThatAreAllOneOrNotKnownStay) {
  StateCache cache(1 << 20);
  Moment moment = AnyMoment(3, 2, 1);
  SteadyState found;
  moment.state.head_m = {72.125, kUnknown_m, 72.125};
  ASSERT_TRUE(cache.Keep({1}, moment.supply, moment.state));
  ASSERT_TRUE(cache.Find({1}, moment.supply, found));
  EXPECT_EQ(found.head_m[0], 72.125);
  EXPECT_TRUE(std::isnan(found.head_m[1]));
  EXPECT_EQ(found.head_m[2], 72.125);
  moment.state.head_m = {kUnknown_m, kUnknown_m, kUnknown_m};
  ASSERT_TRUE(cache.Keep({2}, moment.supply, moment.state));
  ASSERT_TRUE(cache.Find({2}, moment.supply, found));
  for (const double head_m : found.head_m) EXPECT_TRUE(std::isnan(head_m));
}

TEST(StateCache, KeepsTheFirstThatFitAndNoMore) {
  const size_t links = 1000;
  const size_t room = 3 * (links * 8 + 500 * 4 + 100 * 16);
  StateCache cache(room);
  std::vector<bool> kept;
  SteadyState found;
  for (uint32_t seed = 1; seed <= 6; ++seed) {
    const Moment moment = AnyMoment(500, links, seed);
    kept.push_back(cache.Keep({1.0 * seed}, moment.supply, moment.state));
    EXPECT_EQ(cache.Find({1.0 * seed}, moment.supply, found), kept.back());
  }
  EXPECT_EQ(kept, (std::vector<bool>{true, true, true, false, false, false}));
  StateCache none(0);
  const Moment moment = AnyMoment(500, links, 1);
  EXPECT_FALSE(none.Keep({1}, moment.supply, moment.state));
}

}  // namespace
}  // namespace lastreach
