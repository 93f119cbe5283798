// Reactions in the bulk against data/published/ (each folder's SOURCE.md says what is published and what is
// computed), to the last digit given.
#include <gtest/gtest.h>

#include "core/quantity.h"
#include "published_table.h"
#include "quality/reactants.h"
#include "quality/transport.h"

namespace lastreach {
namespace {

TEST(Clark1998, ChlorineBesideOneReactantIsTheClosedForm) {
  const std::vector<std::string_view> columns{"chlorine_mg_per_l", "reactant_mg_per_l", "rate_l_per_mg_per_h",
                                              "hours", "left_mg_per_l"};
  for (const PublishedRow& row : ReadPublished("clark_1998/chlorine.csv", columns)) {
    const double rate = row.at("rate_l_per_mg_per_h").value / kSecondsPerHour;
    const double seconds = row.at("hours").value * kSecondsPerHour;
    const ReactingWater water{.chlorine_mg_per_l = row.at("chlorine_mg_per_l").value,
                              .fast_mg_per_l = row.at("reactant_mg_per_l").value};
    const Printed left = row.at("left_mg_per_l");
    EXPECT_NEAR(React({.fast_l_per_mg_per_s = rate}, water, 0, seconds).chlorine_mg_per_l, left.value,
                left.half_digit * 1.01);
  }
}

constexpr TwoReactantLaw kParallel{.fast_l_per_mg_per_s = 0.5 / 3600, .slow_l_per_mg_per_s = 0.01 / 3600};
constexpr ReactingWater kDosed{.chlorine_mg_per_l = 2, .fast_mg_per_l = 0.5, .slow_mg_per_l = 1.5};

TEST(ParallelReactants, LeaveTheChlorineOfASeparateSolver) {
  for (const PublishedRow& row :
       ReadPublished("parallel_reactants/chlorine.csv", {"hours", "left_mg_per_l"})) {
    const double seconds = row.at("hours").value * kSecondsPerHour;
    const Printed left = row.at("left_mg_per_l");
    EXPECT_NEAR(React(kParallel, kDosed, 0, seconds).chlorine_mg_per_l, left.value, left.half_digit * 1.01);
  }
}

// Whatever the time, THM over chlorine used up is the yield; and a wall that takes chlorine forms none.
TEST(Gang2003, ThmIsTheYieldTimesTheChlorineUsedUpInTheBulk) {
  for (const PublishedRow& row : ReadPublished("gang_2003/yield.csv", {"thm_ug_per_mg"})) {
    TwoReactantLaw law = kParallel;
    law.thm_ug_per_mg = row.at("thm_ug_per_mg").value;
    for (const double hours : {0.5, 6.0, 72.0}) {
      const ReactingWater after = React(law, kDosed, 0, hours * kSecondsPerHour);
      EXPECT_NEAR(after.thm_ug_per_l / (2 - after.chlorine_mg_per_l), law.thm_ug_per_mg, 1e-7);
      const ReactingWater by_wall = React(law, kDosed, 1e-5, hours * kSecondsPerHour);
      EXPECT_LT(by_wall.chlorine_mg_per_l, after.chlorine_mg_per_l);
      EXPECT_LT(by_wall.thm_ug_per_l, after.thm_ug_per_l);
    }
  }
}

// A pipe that water takes just so many days to pass.
TEST(BulkDecay, IsTheExponentialOfTheTimeOnTheWay) {
  const std::vector<std::string_view> columns{"start_mg_per_l", "bulk_per_day", "days", "left_mg_per_l"};
  for (const PublishedRow& row : ReadPublished("bulk_decay/residual.csv", columns)) {
    const double seconds = row.at("days").value * kSecondsPerDay;
    const double start = row.at("start_mg_per_l").value;
    const BranchSegment main{
        .length_m = 500, .diameter_m = 0.15, .bulk_per_s = row.at("bulk_per_day").value / kSecondsPerDay};
    const BranchDrive drive{.time_s = {0, 2 * seconds},
                            .demand_factor = {1},
                            .end_flow_m3_per_s = {main.volume_m3() / seconds},
                            .root_mg_per_l = {start, start}};
    const std::vector<double> at{1.5 * seconds};
    const TapWater water = WaterAt({{main}}, drive, 0, at)[0];
    EXPECT_NEAR(water.age_s / seconds, 1, 1e-12);
    EXPECT_NEAR(water.mg_per_l, row.at("left_mg_per_l").value, row.at("left_mg_per_l").half_digit * 1.01);
  }
}

}  // namespace
}  // namespace lastreach
