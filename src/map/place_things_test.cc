#include "map/place_things.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <chrono>
#include <map>
#include <random>
#include <set>

#include "map/hand_map.h"
#include "map/map_index.h"

namespace lastreach {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::SizeIs;

//   W ---- T ---- E      400 m east to west, a branch of 100 m north from T
//          N
Network Tee() {
  return HandNetwork({{"W", -200, 0}, {"T", 0, 0}, {"E", 200, 0}, {"N", 0, 100}},
                     {{"w", "W", "T"}, {"e", "T", "E"}, {"n", "T", "N"}});
}

DrawnThing Thing(ThingKind kind, double x_m, double y_m, bool closed = false) {
  DrawnThing thing;
  thing.kind = kind;
  thing.at = Spot(x_m, y_m);
  thing.closed = closed;
  static int made = 0;
  thing.key = {"things", "k" + std::to_string(++made)};
  return thing;
}

Drawing Of(std::vector<DrawnThing> things) {
  Drawing drawing;
  drawing.things = std::move(things);
  return drawing;
}

// Nodes reached from `from` without passing a shut link.
std::set<std::string> Reached(const Network& network, const std::string& from) {
  std::set<NodeIndex> seen{NodeNamed(network, from)};
  for (bool more = true; more;) {
    more = false;
    for (const Link& link : network.links) {
      if (IsShut(link) || seen.contains(link.from) == seen.contains(link.to)) continue;
      seen.insert(link.from);
      seen.insert(link.to);
      more = true;
    }
  }
  std::set<std::string> names;
  for (const NodeIndex node : seen) names.insert(network[node].id);
  return names;
}

TEST(PlaceThings, AShutValveInAMainPartsIt) {
  Network network = Tee();
  const PlaceSummary summary = PlaceThings(network, Of({Thing(ThingKind::kValve, 120, 2, true)}));
  EXPECT_EQ(summary.valves_shut, 1);
  EXPECT_FALSE(Reached(network, "W").contains("E"));
  EXPECT_TRUE(Reached(network, "W").contains("N"));
  double length_m = 0;
  for (const Link& link : network.links) length_m += link.length_m.value;
  EXPECT_NEAR(length_m, 500, 1e-3);
}

TEST(PlaceThings, AnOpenValvePartsAndCutsNothing) {
  Network network = Tee();
  const PlaceSummary summary = PlaceThings(network, Of({Thing(ThingKind::kValve, 120, 2)}));
  EXPECT_EQ(network.links.size(), 3U);
  ASSERT_THAT(summary.placed, SizeIs(1));
  EXPECT_EQ(summary.placed[0].place->link, LinkNamed(network, "e"));
  EXPECT_NEAR(summary.placed[0].place->along_m, 120, 1e-3);
  EXPECT_NEAR(summary.placed[0].distance_m, 2, 1e-3);
}

TEST(PlaceThings, AShutValveAtATeeShutsTheBranchItIsDrawnOn) {
  Network network = Tee();
  const PlaceSummary summary = PlaceThings(network, Of({Thing(ThingKind::kValve, 0, 0.7, true)}));
  EXPECT_EQ(summary.valves_shut, 1);
  EXPECT_FALSE(Reached(network, "W").contains("N"));
  EXPECT_TRUE(Reached(network, "W").contains("E"));
}

TEST(PlaceThings, AShutValveInTheMiddleOfATeeShutsNoneAndSaysSo) {
  Network network = Tee();
  const PlaceSummary summary = PlaceThings(network, Of({Thing(ThingKind::kValve, 0, 0, true)}));
  EXPECT_EQ(summary.valves_shut, 0);
  EXPECT_EQ(Reached(network, "W").size(), 4U);
  ASSERT_THAT(summary.doubtful, SizeIs(1));
  EXPECT_THAT(summary.doubtful[0].reason, HasSubstr("not clear"));
}

TEST(PlaceThings, TheSameShutValveTwiceIsOne) {
  Network network = Tee();
  const PlaceSummary summary = PlaceThings(
      network, Of({Thing(ThingKind::kValve, 120, 1, true), Thing(ThingKind::kValve, 120, -1, true)}));
  EXPECT_EQ(summary.valves_shut, 1);
  EXPECT_THAT(summary.placed, SizeIs(2));
}

TEST(PlaceThings, HydrantsStandAtEndsAndTeesAndCutNothing) {
  Network network = Tee();
  const PlaceSummary summary =
      PlaceThings(network, Of({Thing(ThingKind::kHydrant, 5, 97), Thing(ThingKind::kHydrant, 100, 8),
                               Thing(ThingKind::kHydrant, 220, 5)}));
  EXPECT_EQ(network.links.size(), 3U);
  EXPECT_TRUE(network[NodeNamed(network, "N")].has_hydrant);
  EXPECT_TRUE(network[NodeNamed(network, "E")].has_hydrant);
  EXPECT_FALSE(network[NodeNamed(network, "T")].has_hydrant);
  EXPECT_THAT(network[NodeNamed(network, "N")].things, SizeIs(1));
  ASSERT_THAT(summary.placed, SizeIs(3));
  EXPECT_FALSE(summary.placed[1].node);
}

TEST(PlaceThings, ABlowOffCutsItsMain) {
  Network network = Tee();
  const PlaceSummary summary = PlaceThings(network, Of({Thing(ThingKind::kBlowOff, 100, 8)}));
  EXPECT_EQ(summary.nodes_added, 1);
  ASSERT_TRUE(summary.placed[0].node);
  const Node& node = network[*summary.placed[0].node];
  EXPECT_TRUE(node.has_blow_off);
  EXPECT_NEAR(HandPoint(*node.at).x_m, 100, 1e-2);
  EXPECT_EQ(network.links.size(), 4U);
}

TEST(PlaceThings, ATankPrefersADeadEndThatIsNotMuchFarther) {
  Network network = Tee();
  DrawnThing tank = Thing(ThingKind::kTank, 205, 10);
  tank.head_m = 310;
  PlaceThings(network, Of({tank}));
  const Node& end = network[NodeNamed(network, "E")];
  EXPECT_EQ(end.kind, NodeKind::kTank);
  EXPECT_EQ(end.head_m, 310.0);
  EXPECT_EQ(network.links.size(), 3U);
}

TEST(PlaceThings, ASourceBesideTheMiddleOfAMainCutsIt) {
  Network network = Tee();
  const PlaceSummary summary = PlaceThings(network, Of({Thing(ThingKind::kSource, 100, 4)}));
  EXPECT_EQ(network[*summary.placed[0].node].kind, NodeKind::kSource);
  EXPECT_EQ(network.links.size(), 4U);
  EXPECT_THAT(summary.doubtful[0].reason, HasSubstr("level"));
}

TEST(PlaceThings, APumpOnAMainIsPutInAlongItsDirection) {
  Network network = Tee();
  const PlaceSummary summary = PlaceThings(network, Of({Thing(ThingKind::kPump, 50, 1)}));
  EXPECT_EQ(summary.pumps_added, 1);
  const Link& pump = network.links.back();
  EXPECT_EQ(pump.kind, LinkKind::kPump);
  EXPECT_FALSE(pump.pump);
  // Water from T to E goes through it forwards.
  EXPECT_EQ(
      network[LinkNamed(network, "e")].to == pump.from || network[LinkNamed(network, "e")].to == pump.to,
      true);
  std::map<NodeIndex, NodeIndex> next;
  for (const Link& link : network.links) {
    if (link.id != "w" && link.id != "n") next[link.from] = link.to;
  }
  NodeIndex at = NodeNamed(network, "T");
  for (int i = 0; i < 3; ++i) at = next.at(at);
  EXPECT_EQ(network[at].id, "E");
}

TEST(PlaceThings, WhatIsTooFarIsListedWithItsDistance) {
  Network network = Tee();
  const PlaceSummary summary =
      PlaceThings(network, Of({Thing(ThingKind::kHydrant, 100, 31), Thing(ThingKind::kValve, 100, 4),
                               Thing(ThingKind::kTank, 100, 900)}));
  EXPECT_THAT(summary.placed, SizeIs(0));
  ASSERT_THAT(summary.too_far, SizeIs(3));
  EXPECT_NEAR(*summary.too_far[0].nearest_main_m, 31, 1e-2);
  EXPECT_NEAR(*summary.too_far[1].nearest_main_m, 4, 1e-2);
  EXPECT_NEAR(*summary.too_far[2].nearest_main_m, std::hypot(100, 800), 0.1);
}

// A square of streets, and things thrown over it.
TEST(PlaceThings, EveryThingIsPlacedOnceOrListed) {
  std::vector<HandNode> nodes;
  std::vector<HandMain> mains;
  const auto name = [](int i, int j) { return std::to_string(i) + "/" + std::to_string(j); };
  for (int i = 0; i < 12; ++i) {
    for (int j = 0; j < 12; ++j) {
      nodes.push_back({name(i, j), i * 100.0, j * 100.0});
      if (i > 0) mains.push_back({"h" + name(i, j), name(i - 1, j), name(i, j)});
      if (j > 0) mains.push_back({"v" + name(i, j), name(i, j - 1), name(i, j)});
    }
  }
  Network network = HandNetwork(nodes, mains);
  const Network before = network;
  const Plane plane = PlaneOf(before);
  std::mt19937 random(99);
  std::uniform_real_distribution<double> anywhere(-40, 1140);
  Drawing drawing;
  for (int i = 0; i < 3000; ++i) {
    drawing.things.push_back(
        Thing(static_cast<ThingKind>(i % 7), anywhere(random), anywhere(random), i % 3 == 0));
  }
  const PlaceSummary summary = PlaceThings(network, drawing);
  EXPECT_EQ(summary.placed.size() + summary.too_far.size(), drawing.things.size());
  std::set<size_t> seen;
  for (const PlacedThing& placed : summary.placed) {
    EXPECT_TRUE(seen.insert(placed.thing).second);
    EXPECT_NE(placed.node.has_value(), placed.place.has_value());
    const DrawnThing& thing = drawing.things[placed.thing];
    // The oracle: the nearest of all mains, one after the other.
    double nearest_m = 1e9;
    for (const Link& link : before.links) {
      nearest_m = std::min(nearest_m, DistanceToLine_m(plane.To(thing.at), link.line, plane));
    }
    const bool feeds = thing.kind == ThingKind::kTank || thing.kind == ThingKind::kSource;
    if (placed.node && (feeds || placed.distance_m <= 1)) continue;
    EXPECT_NEAR(placed.distance_m, nearest_m, 1e-6);
  }
  double before_m = 0, after_m = 0;
  for (const Link& link : before.links) before_m += link.length_m.value;
  for (const Link& link : network.links) after_m += link.length_m.value;
  EXPECT_NEAR(after_m, before_m, 1e-6);
  std::set<std::string> node_ids, link_ids;
  for (const Node& node : network.nodes) EXPECT_TRUE(node_ids.insert(node.id).second) << node.id;
  for (const Link& link : network.links) EXPECT_TRUE(link_ids.insert(link.id).second) << link.id;
}

}  // namespace
}  // namespace lastreach
