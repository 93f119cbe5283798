#include "quality/branch.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace lastreach {
namespace {

using testing::HasSubstr;

Branch OneSegment() { return {{{.length_m = 100, .diameter_m = 0.15, .tap_demand_m3_per_s = 1e-5}}}; }

BranchDrive TwoSteps() {
  return {.time_s = {0, 3600, 7200},
          .demand_factor = {1, 2},
          .end_flow_m3_per_s = {0, 1e-3},
          .root_mg_per_l = {1, 1, 0.9}};
}

TEST(BranchSegment, HoldsTheVolumeOfAFullPipe) {
  // COMPUTED: pi 0.15^2 / 4 x 100 m.
  EXPECT_NEAR(OneSegment().segments[0].volume_m3(), 1.767146, 5e-7);
}

TEST(CheckBranch, AcceptsWhatCanFlowAndNamesTheSegmentOtherwise) {
  EXPECT_TRUE(CheckBranch(OneSegment()).ok());
  EXPECT_FALSE(CheckBranch({}).ok());
  const auto refused = [](double BranchSegment::*field, double value, const char* words) {
    Branch branch = OneSegment();
    branch.segments.push_back(branch.segments[0]);
    branch.segments[1].*field = value;
    const Status status = CheckBranch(branch);
    ASSERT_FALSE(status.ok());
    EXPECT_EQ(status.error().code, ErrorCode::kBadInput);
    EXPECT_THAT(status.error().ToString(), HasSubstr("segment 2"));
    EXPECT_THAT(status.error().ToString(), HasSubstr(words));
  };
  refused(&BranchSegment::length_m, 0, "length");
  refused(&BranchSegment::length_m, std::nan(""), "length");
  refused(&BranchSegment::diameter_m, -0.1, "diameter");
  refused(&BranchSegment::tap_demand_m3_per_s, -1e-9, "demand");
  refused(&BranchSegment::bulk_per_s, std::numeric_limits<double>::infinity(), "bulk");
  refused(&BranchSegment::wall_m_per_s, -1, "wall");
}

TEST(CheckDrive, AcceptsGrowingTimesAndAmountsAndSaysWhatIsWrongOtherwise) {
  EXPECT_TRUE(CheckDrive(TwoSteps()).ok());
  const auto refused = [](auto spoil, const char* words) {
    BranchDrive drive = TwoSteps();
    spoil(drive);
    const Status status = CheckDrive(drive);
    ASSERT_FALSE(status.ok()) << words;
    EXPECT_THAT(status.error().ToString(), HasSubstr(words));
  };
  refused([](BranchDrive& d) { d.time_s = {0, 3600, 3600}; }, "times must grow");
  refused([](BranchDrive& d) { d.time_s.pop_back(); }, "2 steps has 2 times");
  refused([](BranchDrive& d) { d.demand_factor.clear(); }, "0 steps");
  refused([](BranchDrive& d) { d.demand_factor[1] = -1; }, "step 1: demand_factor");
  refused([](BranchDrive& d) { d.end_flow_m3_per_s = {1}; }, "end_flow_m3_per_s has 1 values where 2");
  refused([](BranchDrive& d) { d.bulk_factor = {1, std::nan("")}; }, "step 1: bulk_factor");
  refused([](BranchDrive& d) { d.bulk_factor = {1}; }, "bulk_factor has 1 values");
  refused([](BranchDrive& d) { d.root_mg_per_l.pop_back(); }, "root_mg_per_l has 2 values where 3");
  refused([](BranchDrive& d) { d.initial_mg_per_l = -1; }, "initial");
  refused([](BranchDrive& d) { d.side_draws = {{0, {1e-3, 0}}, {0, {0, -1e-3}}}; }, "flow of side draw 2");
  refused([](BranchDrive& d) { d.side_draws = {{0, {1e-3}}}; }, "flow of side draw 1 has 1 values");
}

TEST(CheckDrive, NamesASideDrawThatLeavesAtNoSegment) {
  BranchDrive drive = TwoSteps();
  drive.side_draws = {{0, {0, 1e-3}}};
  EXPECT_TRUE(CheckDrive(drive, OneSegment()).ok());
  drive.side_draws.push_back({1, {0, 1e-3}});
  const Status status = CheckDrive(drive, OneSegment());
  ASSERT_FALSE(status.ok());
  EXPECT_THAT(status.error().ToString(), HasSubstr("side draw 2 leaves at segment 2 of 1"));
}

}  // namespace
}  // namespace lastreach
