#include "quality/transport.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

namespace lastreach {
namespace {

constexpr double kHour = 3600;
constexpr double kDay = 86400;

BranchSegment Segment(double volume_m3, double demand_m3_per_s, double bulk_per_s, double diameter_m = 0.15) {
  const double area = 3.14159265358979323846 / 4 * diameter_m * diameter_m;
  return {.length_m = volume_m3 / area,
          .diameter_m = diameter_m,
          .tap_demand_m3_per_s = demand_m3_per_s,
          .bulk_per_s = bulk_per_s};
}

BranchDrive Steady(double hours, double end_flow_m3_per_s, double root_mg_per_l) {
  return {.time_s = {0, hours * kHour},
          .demand_factor = {1},
          .end_flow_m3_per_s = {end_flow_m3_per_s},
          .root_mg_per_l = {root_mg_per_l, root_mg_per_l}};
}

// Water stands but for `run_s` at the start of each period, when `volume_m3` is let out.
BranchDrive Slugs(int periods, double period_s, double run_s, double volume_m3) {
  BranchDrive drive;
  drive.time_s.push_back(0);
  for (int p = 0; p < periods; ++p) {
    drive.time_s.push_back(p * period_s + run_s);
    drive.time_s.push_back((p + 1) * period_s);
    for (const double flow : {volume_m3 / run_s, 0.0}) {
      drive.demand_factor.push_back(1);
      drive.end_flow_m3_per_s.push_back(flow);
    }
  }
  drive.root_mg_per_l.assign(drive.time_s.size(), 1);
  return drive;
}

// COMPUTED: C = C0 exp(-k t); 0.55/d over 1 d 0.576950; 1/d over 1 d from 2 mg/L 0.735759.
TEST(LowestResiduals, IsTheExponentialOfTheTravelTimeInSteadyFlow) {
  const Branch branch{{Segment(24, 0, 0.55 / kDay)}};
  const TapLow low = LowestResiduals(branch, Steady(72, 1 / kHour, 1), 48 * kHour, 72 * kHour)[0];
  EXPECT_NEAR(low.lowest_mg_per_l, 0.576950, 5e-7);
  EXPECT_NEAR(low.greatest_age_s, 24 * kHour, 1e-6);
  EXPECT_FALSE(low.saw_initial_water);
  const Branch faster{{Segment(24, 0, 1 / kDay)}};
  EXPECT_NEAR(LowestResiduals(faster, Steady(72, 1 / kHour, 2), 48 * kHour, 72 * kHour)[0].lowest_mg_per_l,
              0.735759, 5e-7);
}

// COMPUTED: uniform draw-off along a dead end, age(x) = (L / v0) ln(L / (L - x)); L 300 m, v0 0.01 m/s; at
// x/L 0.25, 0.5, 0.75, 0.9, 0.99: 2.3974, 5.7762, 11.5525, 19.1882, 38.3764 h. A tap a metre: the error is of
// the first order in the spacing, here 0.17 % and 3 % at the last, where three taps are left.
TEST(LowestResiduals, AgesWaterAlongADeadEndLikeTheUniformLaw) {
  constexpr int kTaps = 3000;
  const double flow = 0.01 * 3.14159265358979323846 / 4 * 0.15 * 0.15;
  Branch branch;
  for (int j = 0; j < kTaps; ++j) {
    branch.segments.push_back(
        {.length_m = 300.0 / kTaps, .diameter_m = 0.15, .tap_demand_m3_per_s = flow / kTaps});
  }
  const std::vector<TapLow> lows = LowestResiduals(branch, Steady(100, 0, 1), 90 * kHour, 100 * kHour);
  const auto age_h = [&](double share) {
    return lows[static_cast<std::size_t>(share * kTaps) - 1].greatest_age_s / kHour;
  };
  EXPECT_NEAR(age_h(0.25), 2.3974, 0.002);
  EXPECT_NEAR(age_h(0.5), 5.7762, 0.004);
  EXPECT_NEAR(age_h(0.75), 11.5525, 0.007);
  EXPECT_NEAR(age_h(0.9), 19.1882, 0.02);
  EXPECT_NEAR(age_h(0.99), 38.3764, 0.16);
}

// B1 of the method: without demand, slugs of V / n every T / n bring the age at the end to just T.
TEST(LowestResiduals, OfWholeSlugsIsTheAgeOfExactlyThatManyPeriods) {
  for (const int n : {1, 2, 3, 5}) {
    const Branch branch{{Segment(7, 0, 0.5 / kDay), Segment(5, 0, 0.5 / kDay)}};
    const double period_s = 30 * kHour / n;
    const BranchDrive drive = Slugs(6 * n, period_s, 1200, 12.0 / n);
    const TapLow low = LowestResiduals(branch, drive, 90 * kHour, 180 * kHour)[1];
    EXPECT_NEAR(low.greatest_age_s, 30 * kHour, 1e-3) << n;
    EXPECT_NEAR(low.lowest_mg_per_l, std::exp(-0.5 * 30 / 24), 1e-8) << n;
  }
}

// While nobody draws, the water at the tap ages, and the lowest is met just before it moves again.
TEST(LowestResiduals, IsMetJustBeforeFlowResumes) {
  const Branch branch{{Segment(1, 1e-4, 1 / kDay)}};
  const BranchDrive drive{.time_s = {0, 10 * kHour, 34 * kHour, 40 * kHour},
                          .demand_factor = {1, 0, 1},
                          .end_flow_m3_per_s = {0, 0, 0},
                          .root_mg_per_l = {1, 1, 1, 1}};
  const TapLow low = LowestResiduals(branch, drive, 5 * kHour, 34 * kHour)[0];
  EXPECT_DOUBLE_EQ(low.when_s, 34 * kHour);
  EXPECT_NEAR(low.greatest_age_s, 24 * kHour + 1e4, 1e-6);
  EXPECT_NEAR(low.lowest_mg_per_l, std::exp(-(24 * kHour + 1e4) / kDay), 1e-12);
  // Once it moves, all that stood in the pipe is as old when it passes; then comes water that never stood.
  const TapLow first = LowestResiduals(branch, drive, 34 * kHour, 34 * kHour + 9999)[0];
  EXPECT_NEAR(first.greatest_age_s, 24 * kHour + 1e4, 1e-6);
  const TapLow then = LowestResiduals(branch, drive, 34 * kHour + 10001, 40 * kHour)[0];
  EXPECT_NEAR(then.greatest_age_s, 1e4, 1e-6);
}

TEST(LowestResiduals, SeesTheWaterThatWasThereAtTheStart) {
  const Branch branch{{Segment(2, 0, 0), Segment(2, 1e-4, 0)}};
  BranchDrive drive = Steady(24, 0, 1);
  drive.initial_mg_per_l = 0.25;
  const std::vector<TapLow> early = LowestResiduals(branch, drive, 0, 24 * kHour);
  EXPECT_TRUE(early[0].saw_initial_water);
  EXPECT_TRUE(early[1].saw_initial_water);
  EXPECT_DOUBLE_EQ(early[1].lowest_mg_per_l, 0.25);
  EXPECT_NEAR(early[0].greatest_age_s, 2e4, 1e-6);
  const std::vector<TapLow> between = LowestResiduals(branch, drive, 3e4, 5e4);
  EXPECT_FALSE(between[0].saw_initial_water);
  EXPECT_TRUE(between[1].saw_initial_water);
  EXPECT_DOUBLE_EQ(between[0].lowest_mg_per_l, 1);
  const std::vector<TapLow> late = LowestResiduals(branch, drive, 4.1e4, 5e4);
  EXPECT_FALSE(late[1].saw_initial_water);
  EXPECT_DOUBLE_EQ(late[1].lowest_mg_per_l, 1);
}

TEST(WaterAt, FollowsARootThatRisesAndFalls) {
  const Branch branch{{Segment(1, 0, 0), Segment(1, 1e-4, 0)}};
  const BranchDrive drive{.time_s = {0, 1e4, 2e4, 3e4, 5e4},
                          .demand_factor = {1, 1, 1, 1},
                          .end_flow_m3_per_s = {0, 0, 0, 0},
                          .root_mg_per_l = {1, 0.5, 0.9, 0.9, 0.2}};
  const std::vector<double> times{1e4, 2e4, 2.5e4, 3e4, 4e4, 5e4};
  const std::vector<double> residuals = ResidualsAt(branch, drive, 1, times);
  EXPECT_THAT(residuals, testing::Pointwise(testing::DoubleNear(1e-12), {0.0, 1.0, 0.75, 0.5, 0.9, 0.9}));
  const TapLow low = LowestResiduals(branch, drive, 20001, 5e4)[1];
  EXPECT_NEAR(low.lowest_mg_per_l, 0.5, 1e-12);
  EXPECT_NEAR(low.when_s, 3e4, 1e-6);
}

TEST(TraceBack, SaysWhenTheWaterEnteredEachSegment) {
  const Branch branch{{Segment(1, 1e-4, 1e-5), Segment(1, 1e-4, 1e-5)}};
  const WaterPath path = TraceBack(branch, Steady(24, 0, 1), 1, 6e4);
  ASSERT_EQ(path.entered_segment_s.size(), 2u);
  EXPECT_NEAR(path.entered_segment_s[1], 5e4, 1e-6);
  EXPECT_NEAR(path.entered_segment_s[0], 4.5e4, 1e-6);
  EXPECT_NEAR(path.log_loss[0], 0.05, 1e-12);
  EXPECT_NEAR(path.log_loss[1], 0.1, 1e-12);
  EXPECT_NEAR(path.water.age_s, 1.5e4, 1e-6);
}

}  // namespace
}  // namespace lastreach
