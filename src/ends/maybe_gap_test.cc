#include "ends/maybe_gap.h"

#include <gtest/gtest.h>

#include "map/test_network.h"

namespace lastreach {
namespace {

Repair Closed(RepairKind kind, double gap_m) {
  Repair repair;
  repair.kind = kind;
  repair.gap_m = gap_m;
  repair.made = true;
  return repair;
}

TEST(MaybeGap, IsLookedForThreeTimesAsFarAsTheWidestGapThatWasClosed) {
  EXPECT_EQ(GapLook_m({}), 8);
  EXPECT_EQ(GapLook_m({Closed(RepairKind::kEndToLine, 0.8)}), 8);
  EXPECT_EQ(GapLook_m({Closed(RepairKind::kEndToLine, 4), Closed(RepairKind::kEndToEnd, 2)}), 12);
}

TEST(MaybeGap, WhatWasOfferedDecidedOrBroughtInSaysNothingOfTheDrawing) {
  Repair offered = Closed(RepairKind::kEndToLine, 6);
  offered.made = false;
  Repair locked = Closed(RepairKind::kEndToLine, 25);
  locked.decision = Decision::kLocked;
  EXPECT_EQ(GapLook_m({offered, locked, Closed(RepairKind::kIsland, 20)}), 8);
}

// D ends 4 m from the main S-C, 196 m round by pipes.
TEST(MaybeGap, IsAMainCloseByThatIsNotJoinedNearby) {
  const TestNetwork network(R"(
    source S 0 0
    junction C 0 200
    junction A 100 0
    junction M 100 100
    junction D 4 100
    pipe S-C 200
    pipe S-A 200
    pipe A-M 200
    pipe M-D 100)");
  EndOptions options;
  const auto gap = MaybeGaps(network, options).At(network.Named("D"));
  ASSERT_TRUE(gap);
  EXPECT_EQ(gap->link, network.Between("S-C"));
  EXPECT_NEAR(gap->gap_m, 4, 1e-3);
  options.gap_look_m = 3;
  EXPECT_FALSE(MaybeGaps(network, options).At(network.Named("D")));
}

}  // namespace
}  // namespace lastreach
