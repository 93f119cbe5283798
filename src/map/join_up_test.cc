#include "map/join_up.h"

#include <gmock/gmock.h>

#include "map/test_drawings.h"

namespace lastreach {
namespace {

using testing::HasSubstr;
using testing::SizeIs;

// A street of four blocks drawn through, with cross streets that end on it and one that falls `short_m`
// short.
std::vector<DrawnMain> Comb(double short_m) {
  return {MainOf("main", {{0, 0}, {500, 0}}), MainOf("a", {{100, 0}, {100, 200}}),
          MainOf("b", {{200, 0}, {200, 200}}), MainOf("c", {{300, short_m}, {300, 200}}),
          MainOf("top", {{100, 200}, {200, 200}, {300, 200}})};
}

JoinedMap Joined(const Drawing& drawing, const std::vector<RepairDecision>& decisions = {},
                 const JoinOptions& options = {}) {
  Result<JoinedMap> joined = JoinUp(drawing, decisions, options);
  EXPECT_TRUE(joined.ok()) << (joined.ok() ? "" : joined.error().ToString());
  return std::move(*joined);
}

RepairDecision Said(const Repair& repair, Decision decision) {
  return {repair.kind, repair.at, repair.first, repair.second, decision, "crew", {}, ""};
}

TEST(JoinUp, AnEndDrawnOnALineIsATeeWithoutAnyRepair) {
  const JoinedMap map = Joined(DrawingOf(Comb(0)));
  EXPECT_THAT(map.repairs, SizeIs(0));
  EXPECT_EQ(map.summary.parts, 1);
  EXPECT_THAT(ShapeOf(map).junctions, SizeIs(4));  // three tees on the main, and b on top
  EXPECT_THAT(ShapeOf(map).ends, SizeIs(2));
}

TEST(JoinUp, AnEndThatFallsShortIsJoinedAndRecorded) {
  const JoinedMap map = Joined(DrawingOf(Comb(0.6)));
  ASSERT_THAT(map.repairs, SizeIs(1));
  const Repair& repair = map.repairs[0];
  EXPECT_EQ(repair.kind, RepairKind::kEndToLine);
  EXPECT_TRUE(repair.made);
  EXPECT_NEAR(repair.gap_m, 0.6, 1e-6);
  EXPECT_EQ(repair.first.key, "c");
  EXPECT_EQ(repair.second.key, "main");
  EXPECT_THAT(ShapeOf(map).ends, SizeIs(2));
}

TEST(JoinUp, TheDrawingIsNotMovedByARepair) {
  const Drawing drawing = DrawingOf(Comb(0.6));
  const JoinedMap map = Joined(drawing);
  double length_m = 0;
  for (const Link& link : map.network.links) length_m += link.length_m.value;
  EXPECT_NEAR(length_m, 500 + 200 + 200 + 199.4 + 200, 1e-3);
}

TEST(JoinUp, AnEndThatRunsPastTheLineIsJoinedOnce) {
  const JoinedMap map = Joined(DrawingOf(Comb(-0.7)));
  ASSERT_THAT(map.repairs, SizeIs(1));
  EXPECT_TRUE(map.repairs[0].made);
  EXPECT_THAT(ShapeOf(map).ends, SizeIs(2));
}

TEST(JoinUp, AShortStubIsNotFoldedBackOntoItsOwnMain) {
  auto mains = Comb(0);
  mains.push_back(MainOf("stub", {{400, 0}, {400, 0.8}}));
  const JoinedMap map = Joined(DrawingOf(mains));
  EXPECT_THAT(map.repairs, SizeIs(0));
  EXPECT_THAT(ShapeOf(map).ends, SizeIs(3));
}

TEST(JoinUp, TwoEndsThatFaceEachOtherAreOneGap) {
  const JoinedMap map =
      Joined(DrawingOf({MainOf("west", {{0, 0}, {100, 0}}), MainOf("east", {{100.5, 0}, {200, 0}})}));
  ASSERT_THAT(map.repairs, SizeIs(1));
  EXPECT_EQ(map.repairs[0].kind, RepairKind::kEndToEnd);
  EXPECT_EQ(map.summary.parts, 1);
}

TEST(JoinUp, TheFarEndOfAShortPieceIsNotFoldedBackOnceItsNearEndIsJoined) {
  auto mains = Comb(0);
  mains.push_back(MainOf("piece", {{501, 0}, {504, 0}}));  // its far end is 4 m from the same place
  JoinOptions options;
  options.tolerance_m = 5;
  const JoinedMap map = Joined(DrawingOf(mains), {}, options);
  ASSERT_THAT(map.repairs, SizeIs(1));
  EXPECT_NEAR(map.repairs[0].gap_m, 1, 1e-6);
  EXPECT_THAT(ShapeOf(map).ends, SizeIs(2));
}

TEST(JoinUp, TwoMainsThatEndSideBySideInOneStreetAreNotJoinedThere) {
  auto mains = Comb(0);
  mains.push_back(MainOf("left", {{400, 0}, {400, 150}}));
  mains.push_back(MainOf("right", {{402, 0}, {402, 150}}));
  JoinOptions options;
  options.tolerance_m = 3;
  const JoinedMap map = Joined(DrawingOf(mains), {}, options);
  EXPECT_EQ(map.summary.repairs_made, 0);
  EXPECT_THAT(ShapeOf(map).ends, SizeIs(4));
}

TEST(JoinUp, AHydrantAtTheEndSpeaksForATrueDeadEnd) {
  Drawing drawing = DrawingOf(Comb(0.9));
  drawing.things.push_back(ThingAt(ThingKind::kHydrant, {300.5, 1}));
  const JoinedMap map = Joined(drawing);
  ASSERT_THAT(map.repairs, SizeIs(1));
  EXPECT_FALSE(map.repairs[0].made);
  EXPECT_THAT(map.repairs[0].why, HasSubstr("hydrant"));
}

TEST(JoinUp, AnIslandBeforeAThreeMetreGapIsBroughtIn) {
  auto mains = Comb(0);
  mains.push_back(MainOf("island", {{503, 0}, {800, 0}}));
  const JoinedMap map = Joined(DrawingOf(mains));
  ASSERT_THAT(map.repairs, SizeIs(1));
  EXPECT_EQ(map.repairs[0].kind, RepairKind::kIsland);
  EXPECT_NEAR(map.repairs[0].gap_m, 3, 1e-6);
  EXPECT_LE(map.repairs[0].gap_m, map.summary.island_reach_m);
  EXPECT_EQ(map.summary.parts, 1);
}

TEST(JoinUp, AScrapShorterThanTheGapIsOnlyOffered) {
  auto mains = Comb(0);
  mains.push_back(MainOf("scrap", {{503, 0}, {505, 0}}));
  const JoinedMap map = Joined(DrawingOf(mains));
  ASSERT_THAT(map.repairs, SizeIs(1));
  EXPECT_FALSE(map.repairs[0].made);
  EXPECT_EQ(map.summary.parts, 2);
}

// Streets whose joints are all drawn, and one main across them without a joint.
std::vector<DrawnMain> Grid(bool break_at_joints) {
  std::vector<DrawnMain> mains;
  for (int i = 0; i < 6; ++i) {
    const double at = 100.0 * i;
    if (!break_at_joints) {
      mains.push_back(MainOf("row" + std::to_string(i), {{0, at}, {500, at}}));
      mains.push_back(MainOf("column" + std::to_string(i), {{at, 0}, {at, 500}}));
      continue;
    }
    for (int j = 0; j < 5; ++j) {
      const double from = 100.0 * j;
      const std::string name = std::to_string(i) + "-" + std::to_string(j);
      mains.push_back(MainOf("row" + name, {{from, at}, {from + 100, at}}));
      mains.push_back(MainOf("column" + name, {{at, from}, {at, from + 100}}));
    }
  }
  return mains;
}

TEST(JoinUp, WhereLinesAreBrokenAtJointsAPlainCrossingIsABridge) {
  auto mains = Grid(true);
  mains.push_back(MainOf("trunk", {{-50, 150}, {550, 150}}));
  mains.push_back(MainOf("feed", {{-50, 0}, {-50, 150}}));
  mains.push_back(MainOf("join", {{-50, 0}, {0, 0}}));
  const JoinedMap map = Joined(DrawingOf(mains));
  ASSERT_THAT(map.repairs, SizeIs(6));
  for (const Repair& repair : map.repairs) {
    EXPECT_EQ(repair.kind, RepairKind::kCrossing);
    EXPECT_FALSE(repair.made) << repair.why;
  }
}

TEST(JoinUp, WhereLinesAreDrawnThroughAPlainCrossingIsAJoint) {
  const JoinedMap map = Joined(DrawingOf(Grid(false)));
  ASSERT_THAT(map.repairs, SizeIs(16));  // the rim's joints are ends on lines
  for (const Repair& repair : map.repairs) EXPECT_TRUE(repair.made) << repair.why;
  EXPECT_EQ(map.summary.parts, 1);
}

TEST(JoinUp, ABridgeThatSaysSoIsNoJoint) {
  auto mains = Grid(false);
  mains[2].level = 1;  // row1
  const JoinedMap map = Joined(DrawingOf(mains));
  int bridged = 0;
  for (const Repair& repair : map.repairs) {
    if (!repair.made) ++bridged;
  }
  EXPECT_EQ(bridged, 4);
}

TEST(JoinUp, ATrunkMainUnderSmallOnesIsNotJoinedWhereLinesAreDrawnThrough) {
  auto mains = Grid(false);
  for (DrawnMain& main : mains) main.diameter = Sourced<Diameter>{Diameter::Inches(6), {}};
  // Half of the joints are drawn as such, so that the drawing's habit leaves room for doubt.
  for (int i = 1; i < 5; ++i) {
    for (int j = 1; j < 5; j += 2) {
      const double x = 100.0 * i;
      const double y = 100.0 * j;
      mains.push_back(MainOf("lane" + std::to_string(10 * i + j), {{x, y + 30}, {x + 40, y + 30}}));
    }
  }
  DrawnMain trunk = MainOf("trunk", {{-50, 150}, {550, 150}});
  trunk.diameter = Sourced<Diameter>{Diameter::Inches(18), {}};
  mains.push_back(trunk);
  const JoinedMap map = Joined(DrawingOf(mains));
  for (const Repair& repair : map.repairs) {
    if (repair.kind != RepairKind::kCrossing) continue;
    const bool with_trunk = repair.first.key == "trunk" || repair.second.key == "trunk";
    EXPECT_EQ(with_trunk, repair.why.find("trunk main passes") != std::string::npos) << repair.why;
  }
}

TEST(JoinUp, ARefusedRepairIsNotMadeAndALockedOneIsAtAnyTolerance) {
  const JoinedMap before = Joined(DrawingOf(Comb(0.6)));
  const JoinedMap refused = Joined(DrawingOf(Comb(0.6)), {Said(before.repairs[0], Decision::kRefused)});
  ASSERT_THAT(refused.repairs, SizeIs(1));
  EXPECT_FALSE(refused.repairs[0].made);
  EXPECT_EQ(refused.repairs[0].decision, Decision::kRefused);
  EXPECT_THAT(ShapeOf(refused).ends, SizeIs(3));

  JoinOptions tight;
  tight.tolerance_m = 0.1;
  EXPECT_FALSE(Joined(DrawingOf(Comb(0.6)), {}, tight).summary.repairs_made);
  const JoinedMap locked = Joined(DrawingOf(Comb(0.6)), {Said(before.repairs[0], Decision::kLocked)}, tight);
  EXPECT_EQ(locked.summary.repairs_made, 1);
}

// A refused gap leaves an island, which would be joined across the same gap.
TEST(JoinUp, AGapRefusedBeforeAnIslandIsListedOnce) {
  Drawing drawing = DrawingOf(Comb(0));
  drawing.mains.push_back(MainOf("on", {{500.5, 0}, {600, 0}}));
  JoinOptions options;
  options.tolerance_m = 1;
  const JoinedMap before = Joined(drawing, {}, options);
  ASSERT_THAT(before.repairs, SizeIs(1));
  const RepairDecision refusal = Said(before.repairs[0], Decision::kRefused);
  const JoinedMap after = Joined(drawing, {refusal}, options);
  ASSERT_THAT(after.repairs, SizeIs(1));
  EXPECT_EQ(after.repairs[0].decision, Decision::kRefused);
  EXPECT_EQ(after.summary.parts, 2);
  // Whichever of the two it is listed as, a later word on it is found.
  const RepairDecision later = Said(after.repairs[0], Decision::kAccepted);
  EXPECT_EQ(Joined(drawing, {refusal, later}, options).summary.parts, 1);
}

TEST(JoinUp, ADecisionIsFoundAgainAfterALineHasMovedALittle) {
  const JoinedMap before = Joined(DrawingOf(Comb(0.6)));
  const JoinedMap after = Joined(DrawingOf(Comb(0.9)), {Said(before.repairs[0], Decision::kRefused)});
  ASSERT_THAT(after.repairs, SizeIs(1));
  EXPECT_FALSE(after.repairs[0].made);
}

TEST(JoinUp, LinesThatTakeNoPartAreSetAsideWithAReason) {
  auto mains = Comb(0);
  mains.push_back(MainOf("dot", {{50, 50}, {50, 50}}));
  mains.push_back(MainOf("twin", {{100, 200}, {100, 0}}));
  DrawnMain far = MainOf("far", {{0, 0}, {10, 0}});
  for (Position& p : far.line) p.longitude_deg -= 20;
  mains.push_back(far);
  DrawnMain old = MainOf("old", {{50, 0}, {50, 100}});
  old.status = MainStatus::kAbandoned;
  mains.push_back(old);
  const JoinedMap map = Joined(DrawingOf(mains));
  std::vector<std::string> reasons;
  for (const SetAside& line : map.set_aside) reasons.push_back(line.key.key + ": " + line.reason);
  EXPECT_THAT(reasons, testing::UnorderedElementsAre(
                           "dot: it has no length", HasSubstr("twin: it is drawn twice"),
                           testing::MatchesRegex("far: it lies 16.. km from the middle of the map"),
                           "old: it is out of use"));
}

TEST(JoinUp, OfTwoLinesDrawnTwiceTheOneThatTellsMoreStays) {
  auto mains = Comb(0);
  DrawnMain twin = MainOf("twin", {{100, 200}, {100, 0}});
  twin.diameter = Sourced<Diameter>{Diameter::Inches(6), {}};
  mains.push_back(twin);
  const JoinedMap map = Joined(DrawingOf(mains));
  ASSERT_THAT(map.set_aside, SizeIs(1));
  EXPECT_EQ(map.set_aside[0].key.key, "a");
}

TEST(JoinUp, ALoopThatComesBackToItsOwnStartHasNoLinkFromANodeToItself) {
  const JoinedMap map =
      Joined(DrawingOf({MainOf("street", {{0, 0}, {100, 0}}),
                        MainOf("ring", {{100, 0}, {150, 50}, {200, 0}, {150, -50}, {100, 0}})}));
  for (const Link& link : map.network.links) EXPECT_NE(link.from, link.to) << link.id;
  EXPECT_THAT(map.network.links, SizeIs(3));
}

TEST(JoinUp, NoMainsAtAllIsAnErrorInOneLine) {
  const auto joined = JoinUp(Drawing{});
  ASSERT_FALSE(joined.ok());
  EXPECT_EQ(joined.error().code, ErrorCode::kBadInput);
}

}  // namespace
}  // namespace lastreach
