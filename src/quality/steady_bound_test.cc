#include "quality/steady_bound.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>
#include <random>

#include "quality/transport.h"

namespace lastreach {
namespace {

constexpr double kHour = 3600;
constexpr double kDay = 86400;
const std::vector<double> kOneDay{0, kDay};
const std::vector<double> kAlways{1};

Branch Even(int taps, double volume_m3, double demand_m3_per_s, double bulk_per_s) {
  Branch branch;
  for (int j = 0; j < taps; ++j) {
    branch.segments.push_back({.length_m = volume_m3 / taps / (std::numbers::pi / 4 * 0.15 * 0.15),
                               .diameter_m = 0.15,
                               .tap_demand_m3_per_s = demand_m3_per_s / taps,
                               .bulk_per_s = bulk_per_s});
  }
  return branch;
}

// A drive of `cycles` times: `slug_m3` let out in `run_s` at the start of every period.
BranchDrive Slugs(int periods, double period_s, double run_s, double slug_m3) {
  BranchDrive drive;
  drive.time_s.push_back(0);
  for (int p = 0; p < periods; ++p) {
    drive.time_s.push_back(p * period_s + run_s);
    drive.time_s.push_back((p + 1) * period_s);
    for (const double flow : {slug_m3 / run_s, 0.0}) {
      drive.demand_factor.push_back(1);
      drive.end_flow_m3_per_s.push_back(flow);
    }
  }
  drive.root_mg_per_l.assign(drive.time_s.size(), 1);
  return drive;
}

// Closed forms: all demand at or before the root V/T; all at the end (V/T - q)+; even (2).
TEST(SteadyBleed, AgreesWithTheClosedForms) {
  const double k = 0.8 / kDay;
  const double budget = std::log(5.0);
  const double time_s = budget / k;
  Branch at_end = Even(1, 12, 1e-5, k);
  EXPECT_NEAR(*SteadyBleed_m3_per_s(at_end, budget), 12 / time_s - 1e-5, 1e-15);
  EXPECT_EQ(*SteadyBleed_m3_per_s(Even(1, 12, 1e-3, k), budget), 0);
  EXPECT_NEAR(*SteadyBleed_m3_per_s(Even(7, 12, 0, k), budget), 12 / time_s, 1e-15);
  // Taps at segment ends draw later than even draw does: first order in their number.
  const double even = UniformBleed_m3_per_s(12, 0.3 / kHour, time_s);
  EXPECT_NEAR(*SteadyBleed_m3_per_s(Even(20000, 12, 0.3 / kHour, k), budget) / even, 1, 1e-4);
}

// COMPUTED apart from this code: V 12 m3, T 30 h, q 0.3 m3/h: bleed 6.45 m3/d; slugs every 6 h 6.95, 12
// h 8.79, 24 h 10.33, 30 h 9.60; q 0.8: 3.0, 3.7, 5.0, 8.0, 9.6 to the digits given.
TEST(UniformSlug, AgreesWithTheNumbersWorkedOutByHand) {
  const auto bleed = [](double q) { return UniformBleed_m3_per_s(12, q / kHour, 30 * kHour) * kDay; };
  const auto slugs = [](double q, double hours) {
    return UniformSlug_m3(12, q / kHour, 30 * kHour, hours * kHour) * 24 / hours;
  };
  EXPECT_NEAR(bleed(0.3), 6.45, 0.005);
  EXPECT_NEAR(slugs(0.3, 6), 6.95, 0.005);
  EXPECT_NEAR(slugs(0.3, 12), 8.79, 0.005);
  EXPECT_NEAR(slugs(0.3, 24), 10.33, 0.005);
  EXPECT_NEAR(slugs(0.3, 30), 9.60, 0.005);
  EXPECT_NEAR(bleed(0.8), 3.0, 0.05);
  EXPECT_NEAR(slugs(0.8, 6), 3.7, 0.05);
  EXPECT_NEAR(slugs(0.8, 12), 5.0, 0.05);
  EXPECT_NEAR(slugs(0.8, 24), 8.0, 0.05);
  EXPECT_NEAR(slugs(0.8, 30), 9.6, 0.05);
}

// Both formulas against the transport itself: the age at the end must come to just 30 h. 700 taps and runs
// of a second stand for even draw and instant slugs; what is left is of the order of one tap's share.
TEST(UniformSlug, HoldsTheAgeAtTheEndOfAFineBranch) {
  constexpr int kTaps = 700;
  const double demand = 0.3 / kHour;
  const Branch branch = Even(kTaps, 12, demand, 0);
  for (const double hours : {6.0, 12.0, 24.0, 30.0}) {
    const double slug = UniformSlug_m3(12, demand, 30 * kHour, hours * kHour);
    const BranchDrive drive = Slugs(static_cast<int>(120 / hours), hours * kHour, 1, slug);
    const TapLow low = LowestResiduals(branch, drive, 60 * kHour, 120 * kHour).back();
    EXPECT_NEAR(low.greatest_age_s / kHour, 30, 0.06) << hours;
  }
  const BranchDrive bleed{.time_s = {0, 120 * kHour},
                          .demand_factor = {1},
                          .end_flow_m3_per_s = {UniformBleed_m3_per_s(12, demand, 30 * kHour)},
                          .root_mg_per_l = {1, 1}};
  EXPECT_NEAR(LowestResiduals(branch, bleed, 60 * kHour, 120 * kHour).back().greatest_age_s / kHour, 30,
              0.03);
}

TEST(SteadyBleed, JustHoldsTheTargetInTheTransportWithAndWithoutWalls) {
  for (const double wall : {0.0, 1e-7, 5e-6}) {
    Branch branch = Even(8, 6, 4e-5, 0.3 / kDay);
    for (BranchSegment& s : branch.segments) s.wall_m_per_s = wall;
    const double budget = std::log(1.0 / 0.3);
    const double bleed = *SteadyBleed_m3_per_s(branch, budget);
    ASSERT_GT(bleed, 0);
    const BranchDrive drive{.time_s = {0, 40 * kDay},
                            .demand_factor = {1},
                            .end_flow_m3_per_s = {bleed},
                            .root_mg_per_l = {1, 1}};
    EXPECT_NEAR(LowestResiduals(branch, drive, 39 * kDay, 40 * kDay).back().lowest_mg_per_l, 0.3, 1e-9)
        << wall;
  }
}

TEST(SteadyBleed, HasNoAnswerWhereWhatEntersIsTooWeak) {
  EXPECT_FALSE(SteadyBleed_m3_per_s(Even(3, 6, 1e-5, 1e-5), 0).has_value());
  EXPECT_FALSE(FloorOfEndFlow(Even(3, 6, 1e-5, 1e-5), -0.1, kOneDay, kAlways).has_value());
}

TEST(ConcaveFloor, IsExactWhereAllDrawIsAtTheEndOrThereIsNone) {
  const double k = 0.5 / kDay;
  for (const double q : {0.0, 2e-5}) {
    const EndFlowFloor floor = *FloorOfEndFlow(Even(1, 10, q, k), 1, kOneDay, kAlways);
    EXPECT_TRUE(floor.is_exact);
    EXPECT_NEAR(floor.proven_m3_per_s, 10 / (2 * kDay) - q, 1e-12);
  }
}

// With many even taps the proven floor closes on equation (1), and both on (2).
TEST(ConcaveFloor, ClosesOnTheBleedAsTapsGrowMany) {
  const double k = 1 / kDay;
  double gap_before = 1;
  for (const int taps : {5, 50, 500}) {
    const EndFlowFloor floor = *FloorOfEndFlow(Even(taps, 12, 0.3 / kHour, k), 1.25, kOneDay, kAlways);
    const double gap = 1 - floor.proven_m3_per_s / *floor.verified_m3_per_s;
    EXPECT_GE(gap, 0);
    EXPECT_LT(gap, gap_before / 5);
    gap_before = gap;
  }
  EXPECT_NEAR(FloorOfEndFlow(Even(500, 12, 0.3 / kHour, k), 1.25, kOneDay, kAlways)->proven_m3_per_s * kDay,
              6.45, 0.02);
}

// A pattern that is even all day is steady demand written differently, and the two proofs must meet.
TEST(CycleFloor, OfNearlySteadyDemandIsNearlyTheSteadyFloor) {
  const Branch branch = Even(40, 12, 0.3 / kHour, 1 / kDay);
  const double steady = FloorOfEndFlow(branch, 1.25, kOneDay, kAlways)->proven_m3_per_s;
  const std::vector<double> halves{0, kDay / 2, kDay};
  const std::vector<double> factors{1 + 1e-9, 1 - 1e-9};
  const EndFlowFloor cycle = *FloorOfEndFlow(branch, 1.25, halves, factors);
  EXPECT_FALSE(cycle.verified_m3_per_s.has_value());
  EXPECT_LE(cycle.proven_m3_per_s, steady * (1 + 1e-9));
  EXPECT_GE(cycle.proven_m3_per_s, steady * 0.993);
}

// Whatever is run, its mean flow is not below the floor for the residual it reaches. Seeds 1 to 200.
TEST(CycleFloor, IsNotBeatenByAnyScheduleTried) {
  double closest = 1e300;
  for (uint64_t seed = 1; seed <= 200; ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    std::mt19937_64 random(seed);
    const auto number = [&](double low, double high) {
      return std::uniform_real_distribution<>(low, high)(random);
    };
    const auto whole = [&](int low, int high) { return std::uniform_int_distribution<>(low, high)(random); };
    Branch branch = Even(whole(1, 8), number(2, 15), number(0, 0.5) / kHour, number(0.3, 1.5) / kDay);
    const bool uneven = seed % 3 == 0;
    for (BranchSegment& s : branch.segments) {
      if (uneven) s.tap_demand_m3_per_s *= number(0, 2);
      if (uneven) s.bulk_per_s *= number(1, 1.3);
      if (seed % 5 == 0) s.wall_m_per_s = 2e-7;
    }
    const bool steady = seed % 2 == 0;
    std::vector<double> day{0};
    std::vector<double> factors, flows;
    for (int h = 0; h < 24; ++h) {
      day.push_back((h + 1) * kHour);
      factors.push_back(steady ? 1 : number(0.1, 2));
      flows.push_back(whole(0, 2) == 0 ? number(0, 1.5) / kHour : 0);
    }
    if (seed % 7 == 0) std::fill(flows.begin(), flows.end(), 0.3 / kHour);
    BranchDrive drive{.time_s = {0}, .demand_factor = {}, .end_flow_m3_per_s = {}, .root_mg_per_l = {}};
    constexpr int kDays = 30;
    for (int d = 0; d < kDays; ++d) {
      for (std::size_t h = 0; h < 24; ++h) {
        drive.time_s.push_back(d * kDay + day[h + 1]);
        drive.demand_factor.push_back(factors[h]);
        drive.end_flow_m3_per_s.push_back(flows[h]);
      }
    }
    drive.root_mg_per_l.assign(drive.time_s.size(), 1);
    const TapLow low = LowestResiduals(branch, drive, (kDays - 1) * kDay, kDays * kDay).back();
    if (low.saw_initial_water) continue;  // not settled into its cycle
    const double mean = std::accumulate(flows.begin(), flows.end(), 0.0) / 24;
    const std::optional<EndFlowFloor> floor =
        FloorOfEndFlow(branch, -std::log(low.lowest_mg_per_l), day, factors);
    ASSERT_TRUE(floor.has_value());
    ASSERT_LE(floor->proven_m3_per_s, mean * (1 + 1e-9));
    ASSERT_LE(floor->proven_m3_per_s, floor->verified_m3_per_s.value_or(1e300) * (1 + 1e-9));
    if (floor->proven_m3_per_s > 0) closest = std::min(closest, mean / floor->proven_m3_per_s);
  }
  EXPECT_LT(closest, 1.1);  // a floor of nothing would pass the rest
}

// A residential day (common practice, no source): little at night, a peak in the morning and one in the
// evening.
const std::vector<double> kResidential{0.3, 0.2, 0.2, 0.2, 0.3, 0.7, 1.3, 1.7, 1.6, 1.4, 1.2, 1.1,
                                       1.1, 1.0, 1.0, 1.0, 1.1, 1.4, 1.6, 1.6, 1.3, 1.0, 0.7, 0.5};

// The floor must leave room for the best schedule and not much more: a constant bleed that just holds 30 h is
// within 7 % above it. COMPUTED apart from this code for such a day by linear programming: best 6.43,
// constant 6.80 m3/d, that is 5.8 % apart.
TEST(CycleFloor, OfAResidentialDayIsAFewPerCentBelowTheConstantBleed) {
  const double demand = 0.3 / kHour;
  const double mean = std::accumulate(kResidential.begin(), kResidential.end(), 0.0) / 24;
  std::vector<double> day{0}, factors;
  for (const double share : kResidential) {
    day.push_back(day.back() + kHour);
    factors.push_back(share / mean);
  }
  const Branch branch = Even(300, 12, demand, 1 / kDay);
  double low = 0;
  double high = 1 / kHour;
  for (int halving = 0; halving < 30; ++halving) {
    const double bleed = (low + high) / 2;
    BranchDrive drive{.time_s = {0}, .demand_factor = {}, .end_flow_m3_per_s = {}, .root_mg_per_l = {}};
    for (int hour = 0; hour < 5 * 24; ++hour) {
      drive.time_s.push_back((hour + 1) * kHour);
      drive.demand_factor.push_back(factors[static_cast<std::size_t>(hour % 24)]);
      drive.end_flow_m3_per_s.push_back(bleed);
    }
    drive.root_mg_per_l.assign(drive.time_s.size(), 1);
    const double age_s = LowestResiduals(branch, drive, 4 * kDay, 5 * kDay).back().greatest_age_s;
    (age_s > 30 * kHour ? low : high) = bleed;
  }
  const double floor = FloorOfEndFlow(branch, 1.25, day, factors)->proven_m3_per_s;
  EXPECT_LT(floor, high);
  EXPECT_GT(floor, 0.94 * high);
}

TEST(LeastWallRate, IsBelowTheRateOfEveryFlowAndOfStandingWater) {
  for (const double wall : {1e-8, 1e-6, 1e-4}) {
    const BranchSegment segment{.length_m = 120, .diameter_m = 0.15, .wall_m_per_s = wall};
    const double least = LeastWallRate_per_s(segment);
    EXPECT_GT(least, 0);
    for (double flow = 1e-9; flow < 0.1; flow *= 3) {
      EXPECT_LE(least, FlowingWallRate_per_s(120, 0.15, flow, wall, {}) * (1 + 1e-12));
    }
    const double per_s = Kinetics{}.diffusivity_m2_per_s / (0.075 * 0.075);
    const StillWater still(wall * 0.075 / Kinetics{}.diffusivity_m2_per_s);
    for (double time_s = 3600; time_s < 1e8; time_s *= 2) {
      EXPECT_LE(least * time_s, still.LogLoss(per_s * time_s));
    }
  }
}

}  // namespace
}  // namespace lastreach
