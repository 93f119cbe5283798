#include "map/map_index.h"

#include <gtest/gtest.h>

#include <limits>
#include <random>

#include "map/hand_map.h"

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
  const Plane plane = PlaneOf(network);
  const MapIndex index(network, plane);
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
  const Plane plane = PlaneOf(network);
  const MapIndex index(network, plane);
  const auto near = index.NearestMain(plane.To(Spot(110, 50)));
  EXPECT_NEAR(near->along_m, 300, 0.01);
  EXPECT_NEAR(near->distance_m, 10, 1e-3);
}

TEST(MapIndex, LeavesOutWhatHoldsNoCustomers) {
  Network network = HandNetwork({{"A", 0, 0}, {"B", 100, 0}}, {{"1", "A", "B"}});
  network.links[0].kind = LinkKind::kClosed;
  const MapIndex index(network, PlaneOf(network));
  EXPECT_FALSE(index.NearestMain({0, 0}));
  EXPECT_TRUE(index.MainsWithin({0, 0}, 1e6).empty());
}

}  // namespace
}  // namespace lastreach
