#include "map/map_index.h"

#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <cmath>
#include <limits>
#include <random>

#include "map/hand_map.h"
#include "map/test_network.h"

namespace lastreach {
namespace {

// Mains of up to four bends, thrown down anywhere, some long, some tiny.
Network Thrown(std::mt19937& random, int mains) {
  std::uniform_real_distribution<double> anywhere(-3000, 3000);
  std::exponential_distribution<double> step(1 / 80.0);
  std::uniform_real_distribution<double> turn(0, 6.28);
  std::vector<HandNode> nodes;
  std::vector<HandMain> lines;
  for (int i = 0; i < mains; ++i) {
    const std::string name = std::to_string(i);
    PlanePoint at{anywhere(random), anywhere(random)};
    nodes.push_back({"a" + name, at.x_m, at.y_m});
    HandMain main{name, "a" + name, "b" + name};
    for (int bend = 0; bend < i % 5; ++bend) {
      const double length_m = step(random);
      const double angle = turn(random);
      at = {at.x_m + length_m * std::cos(angle), at.y_m + length_m * std::sin(angle)};
      main.bends.push_back(at);
    }
    nodes.push_back({"b" + name, at.x_m + step(random), at.y_m + step(random)});
    lines.push_back(main);
  }
  return HandNetwork(nodes, lines);
}

double BruteDistance_m(const Link& link, PlanePoint at, const Plane& plane) {
  double least_m = std::numeric_limits<double>::infinity();
  for (size_t i = 1; i < link.line.size(); ++i) {
    const PlanePoint a = plane.To(link.line[i - 1]);
    const PlanePoint b = plane.To(link.line[i]);
    const double square = (b.x_m - a.x_m) * (b.x_m - a.x_m) + (b.y_m - a.y_m) * (b.y_m - a.y_m);
    double share =
        square == 0 ? 0 : ((at.x_m - a.x_m) * (b.x_m - a.x_m) + (at.y_m - a.y_m) * (b.y_m - a.y_m)) / square;
    share = std::min(1.0, std::max(0.0, share));
    least_m = std::min(least_m, std::hypot(at.x_m - a.x_m - share * (b.x_m - a.x_m),
                                           at.y_m - a.y_m - share * (b.y_m - a.y_m)));
  }
  return least_m;
}

TEST(MapIndex, FindsWhatLookingAtEveryMainFinds) {
  std::mt19937 random(4711);
  const Network network = Thrown(random, 400);
  const MapIndex index(network);
  const Plane& plane = index.plane();
  std::uniform_real_distribution<double> anywhere(-4000, 4000);
  for (int i = 0; i < 500; ++i) {
    const PlanePoint at{anywhere(random), anywhere(random)};
    const double reach_m = i % 2 == 0 ? 60 : 600;
    size_t within = 0;
    double nearest_m = std::numeric_limits<double>::infinity();
    for (const Link& link : network.links) {
      const double distance_m = BruteDistance_m(link, at, plane);
      within += distance_m <= reach_m ? 1 : 0;
      nearest_m = std::min(nearest_m, distance_m);
    }
    const auto mains = index.MainsWithin(at, reach_m);
    EXPECT_EQ(mains.size(), within);
    for (const NearMain& main : mains) {
      EXPECT_NEAR(main.distance_m, BruteDistance_m(network[main.link], at, plane), 1e-9);
    }
    EXPECT_TRUE(std::is_sorted(mains.begin(), mains.end(),
                               [](auto& a, auto& b) { return a.distance_m < b.distance_m; }));
    EXPECT_NEAR(index.NearestMain(at)->distance_m, nearest_m, 1e-9);
    size_t nodes_within = 0;
    for (const Node& node : network.nodes)
      nodes_within += Distance_m(plane.To(*node.at), at) <= reach_m ? 1 : 0;
    EXPECT_EQ(index.NodesWithin(at, reach_m).size(), nodes_within);
  }
}

TEST(MapIndex, MeasuresAlongInTheLinksOwnLength) {
  Network network = HandNetwork({{"A", 0, 0}, {"B", 100, 100}}, {{"1", "A", "B", "", 0.15, {{100, 0}}}});
  network.links[0].length_m.value = 400;  // a tape's, twice the line's
  const MapIndex index(network);
  const Plane& plane = index.plane();
  const auto near = index.NearestMain(plane.To(Spot(110, 50)));
  EXPECT_NEAR(near->along_m, 300, 0.01);
  EXPECT_NEAR(near->distance_m, 10, 1e-3);
}

TEST(MapIndex, LeavesOutWhatHoldsNoCustomers) {
  Network network = HandNetwork({{"A", 0, 0}, {"B", 100, 0}}, {{"1", "A", "B"}});
  network.links[0].kind = LinkKind::kClosed;
  const MapIndex index(network, IsMain);
  EXPECT_FALSE(index.NearestMain({0, 0}));
  EXPECT_TRUE(index.MainsWithin({0, 0}, 1e6).empty());
}

// --- lines drawn at random ---

// A network of crooked lines within 400 m.
Network AnyLines() {
  Network network;
  const int count = *rc::gen::inRange(1, 12);
  for (int i = 0; i < count; ++i) {
    Link link;
    double length_m = 0;
    PlanePoint last;
    for (int k = *rc::gen::inRange(2, 5); k > 0; --k) {
      const PlanePoint next{*rc::gen::inRange(-200, 200) * 1.0, *rc::gen::inRange(-200, 200) * 1.0};
      if (!link.line.empty()) length_m += Distance_m(last, next);
      link.line.push_back(NetworkPlane().From(next));
      last = next;
    }
    link.length_m.value = length_m;
    network.links.push_back(link);
  }
  return network;
}

// The slow way: every line is walked in steps of a thousandth of its parts.
double SlowDistance_m(const Network& network, const Plane& plane, LinkIndex link, PlanePoint place) {
  double least = 1e300;
  const auto& line = network[link].line;
  for (size_t k = 1; k < line.size(); ++k) {
    const PlanePoint a = plane.To(line[k - 1]);
    const PlanePoint b = plane.To(line[k]);
    for (int i = 0; i <= 1000; ++i) {
      const double s = i / 1000.0;
      least = std::min(least, Distance_m(place, {a.x_m + s * (b.x_m - a.x_m), a.y_m + s * (b.y_m - a.y_m)}));
    }
  }
  return least;
}

constexpr double kStep_m = 0.6;  // a thousandth of the longest part that fits

TEST(MapIndex, TheNearestIsTheNearestOfAllWalked) {
  EXPECT_TRUE(rc::check([] {
    const Network network = AnyLines();
    const MapIndex near(network);
    const PlanePoint place{*rc::gen::inRange(-300, 300) * 1.0, *rc::gen::inRange(-300, 300) * 1.0};
    const auto hit = near.NearestMain(place);
    RC_ASSERT(hit.has_value());
    double least = 1e300;
    for (size_t i = 0; i < network.links.size(); ++i) {
      least = std::min(least, SlowDistance_m(network, near.plane(), LinkIndex(i), place));
    }
    RC_ASSERT(hit->distance_m <= least + 1e-9);
    RC_ASSERT(hit->distance_m >= least - kStep_m);
    RC_ASSERT(std::abs(Distance_m(hit->at, place) - hit->distance_m) < 1e-9);
  }));
}

TEST(MapIndex, WithinFindsEachLinkOnceAndNoneFarther) {
  EXPECT_TRUE(rc::check([] {
    const Network network = AnyLines();
    const MapIndex near(network);
    const double radius_m = *rc::gen::inRange(1, 200);
    std::vector<int> times(network.links.size(), 0);
    for (const NearMain& hit : near.MainsWithin({0, 0}, radius_m)) {
      ++times[At(hit.link)];
      RC_ASSERT(hit.distance_m <= radius_m);
    }
    for (size_t i = 0; i < times.size(); ++i) {
      const double slow = SlowDistance_m(network, near.plane(), LinkIndex(i), {0, 0});
      RC_ASSERT(times[i] <= 1);
      if (slow <= radius_m) RC_ASSERT(times[i] == 1);
      if (slow > radius_m + kStep_m) RC_ASSERT(times[i] == 0);
    }
  }));
}

TEST(MapIndex, TheNearestOfALineIsTheNearestOfAllItsPlaces) {
  EXPECT_TRUE(rc::check([] {
    const Network network = AnyLines();
    if (network.links.size() < 2) return;
    const MapIndex near(network);
    const auto hit = near.NearestMainTo({LinkIndex(0)}, [](LinkIndex link) { return link != LinkIndex(0); });
    RC_ASSERT(hit.has_value());
    double least = 1e300;
    const auto& line = network.links[0].line;
    for (size_t k = 1; k < line.size(); ++k) {
      const PlanePoint a = near.plane().To(line[k - 1]);
      const PlanePoint b = near.plane().To(line[k]);
      for (int i = 0; i <= 1000; ++i) {
        const double s = i / 1000.0;
        const auto other = near.NearestMain({a.x_m + s * (b.x_m - a.x_m), a.y_m + s * (b.y_m - a.y_m)},
                                            [](LinkIndex link) { return link != LinkIndex(0); });
        least = std::min(least, other->distance_m);
      }
    }
    RC_ASSERT(hit->distance_m <= least + 1e-9);
    RC_ASSERT(hit->distance_m >= least - kStep_m);
  }));
}

// A line along y = 0: one main crosses it, one twice, one ends on it, one begins past its end, one ends just
// beyond it.
TEST(MapIndex, PassesOverWhatALineCrossesAwayFromAllEnds) {
  const Network network = HandNetwork({{"A", 100, -50},
                                       {"B", 100, 50},
                                       {"C", 200, -50},
                                       {"D", 300, -50},
                                       {"E", 400, 0},
                                       {"F", 400, 50},
                                       {"G", 600, -50},
                                       {"H", 600, 50},
                                       {"I", 450, -50},
                                       {"J", 450, 0.3}},
                                      {{"crosses", "A", "B"},
                                       {"twice", "C", "D", "", 0.15, {{250, 50}}},
                                       {"ends on it", "E", "F"},
                                       {"past its end", "G", "H"},
                                       {"runs a little over", "I", "J"}});
  const MapIndex index(network);
  const auto over = [&](double clear_m) {
    return index.PassedOver(index.plane().To(Spot(0, 0)), index.plane().To(Spot(500, 0)), clear_m);
  };
  EXPECT_EQ(over(0.5), (std::vector<LinkIndex>{LinkNamed(network, "crosses"), LinkNamed(network, "twice")}));
  EXPECT_EQ(over(0.1).size(), 3U);
}

TEST(MapIndex, SaysHowFarAlongTheLinkItIs) {
  const TestNetwork network("junction A 0 0\njunction B 200 0\npipe A-B 150\n");
  const MapIndex near(network);
  const auto hit = near.NearestMain(near.plane().To(NetworkPlane().From({50, 7})));
  ASSERT_TRUE(hit);
  EXPECT_NEAR(hit->along_m, 50, 1e-3);
  EXPECT_NEAR(hit->distance_m, 7, 1e-3);
}

}  // namespace
}  // namespace lastreach
