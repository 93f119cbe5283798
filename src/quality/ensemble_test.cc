#include "quality/ensemble.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>

#include "core/quantity.h"

namespace lastreach {
namespace {

// Ten homes on 200 m of 150 mm.
Branch TenHomes(double bulk_per_day) {
  const double home = HouseholdMoments({}).mean_m3_per_s;
  return {std::vector<BranchSegment>(10, {.length_m = 20,
                                          .diameter_m = 0.15,
                                          .tap_demand_m3_per_s = home,
                                          .bulk_per_s = bulk_per_day / kSecondsPerDay})};
}

BranchDrive Days(int days) {
  BranchDrive drive;
  for (int day = 0; day <= days; ++day) {
    drive.time_s.push_back(day * kSecondsPerDay);
    drive.root_mg_per_l.push_back(1);
    if (day == days) break;
    drive.demand_factor.push_back(1);
    drive.end_flow_m3_per_s.push_back(0);
  }
  return drive;
}

EnsembleOptions FewMembers(unsigned threads) {
  return {.name = "street",
          .members = 5,
          .judge_from_s = 2 * kSecondsPerDay,
          .dispersion = {.cell_length_m = 5},
          .threads = threads};
}

TEST(SpreadUnderPulses, IsTheSameWhateverTheNumberOfThreads) {
  const auto one = SpreadUnderPulses(TenHomes(1.5), Days(4), {}, FewMembers(1));
  for (const unsigned threads : {2U, 3U, 0U}) {
    const auto many = SpreadUnderPulses(TenHomes(1.5), Days(4), {}, FewMembers(threads));
    ASSERT_EQ(one.size(), many.size());
    for (std::size_t tap = 0; tap < one.size(); ++tap) {
      EXPECT_EQ(one[tap].lowest_mg_per_l, many[tap].lowest_mg_per_l);
      EXPECT_EQ(one[tap].greatest_age_s, many[tap].greatest_age_s);
    }
  }
  EXPECT_LT(one[9].lowest_mg_per_l.front(), one[9].lowest_mg_per_l.back());
}

TEST(SpreadUnderPulses, OfWaterThatLosesNothingIsNone) {
  BranchDrive drive = Days(3);
  drive.initial_mg_per_l = 1;
  for (const TapSpread& tap : SpreadUnderPulses(TenHomes(0), drive, {}, FewMembers(0))) {
    for (const double lowest : tap.lowest_mg_per_l) EXPECT_NEAR(lowest, 1, 1e-12);
  }
}

// Both under the same pulses: what spreads against the flow brings older water forward and fresher water to
// the tip.
TEST(SpreadUnderPulses, WithDispersionTheTipIsFresher) {
  EnsembleOptions options = FewMembers(0);
  options.judge_from_s = 8 * kSecondsPerDay;
  const auto spread = SpreadUnderPulses(TenHomes(1.5), Days(10), {}, options);
  options.dispersion.along_the_pipe = false;
  const auto plug = SpreadUnderPulses(TenHomes(1.5), Days(10), {}, options);
  EXPECT_GT(Quantile(spread[9].lowest_mg_per_l, 0.5), Quantile(plug[9].lowest_mg_per_l, 0.5));
  EXPECT_LT(Quantile(spread[9].greatest_age_s, 0.5), Quantile(plug[9].greatest_age_s, 0.5));
}

TEST(AdvanceUnderPulses, JudgesFromTheMomentGiven) {
  const Branch branch = TenHomes(0);
  BranchDrive drive = Days(2);
  drive.initial_mg_per_l = 1;
  // The residual at the root falls on the second day: judged from its end, only what is at the taps then.
  drive.root_mg_per_l = {1, 1, 0};
  DispersedBranch water(branch, {.cell_length_m = 5}, {}, 1);
  AdvanceUnderPulses(water, drive, DrawDemand({}, branch, drive, "a"), 2 * kSecondsPerDay);
  for (std::size_t tap = 0; tap < 10; ++tap) {
    EXPECT_EQ(water.lows()[tap].lowest_mg_per_l, water.residual_mg_per_l(tap));
  }
}

TEST(Quantile, IsLinearBetweenNeighbours) {
  const std::array<double, 3> values{1, 2, 10};
  EXPECT_EQ(Quantile(values, 0), 1);
  EXPECT_EQ(Quantile(values, 0.25), 1.5);
  EXPECT_EQ(Quantile(values, 0.75), 6);
  EXPECT_EQ(Quantile(values, 1), 10);
}

}  // namespace
}  // namespace lastreach
