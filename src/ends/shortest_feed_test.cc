#include "ends/shortest_feed.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <cmath>

#include "map/test_network.h"

namespace lastreach {
namespace {

constexpr double kM3PerDay = 1.0 / 86400;

ShortestFeed Feed(const Network& network) { return EstimateFeed(network, Adjacency(network)); }

// Any network of up to 12 nodes on a line of places, with loops, shut and one-way links, and customers.
Network AnyNetwork(bool tree) {
  Network network;
  const auto count = *rc::gen::inRange<unsigned>(2, 13);
  network.nodes.resize(count);
  const auto add = [&network](unsigned from, unsigned to) {
    Link link;
    link.from = NodeIndex(from);
    link.to = NodeIndex(to);
    link.length_m.value = *rc::gen::inRange(1, 400);
    link.inner_diameter_m = Sourced<double>{*rc::gen::element(0.1, 0.15, 0.2, 0.3), {}};
    network.links.push_back(link);
  };
  for (unsigned i = 1; i < count; ++i) {
    const unsigned other = *rc::gen::inRange<unsigned>(0, i);
    *rc::gen::arbitrary<bool>() ? add(i, other) : add(other, i);
  }
  if (!tree) {
    for (int more = *rc::gen::inRange(0, 8); more > 0; --more) {
      add(*rc::gen::inRange<unsigned>(0, count), *rc::gen::inRange<unsigned>(0, count));
    }
    for (Link& link : network.links) {
      link.kind = *rc::gen::weightedElement<LinkKind>(
          {{8, LinkKind::kPipe}, {1, LinkKind::kClosed}, {1, LinkKind::kCheck}});
    }
  }
  network.nodes[0].kind = NodeKind::kSource;
  if (!tree && *rc::gen::arbitrary<bool>()) network.nodes[count - 1].kind = NodeKind::kTank;
  for (Node& node : network.nodes) node.demand_m3_per_s = *rc::gen::inRange(0, 3) * kM3PerDay;
  for (size_t i = 0; i < network.links.size(); ++i) {
    std::vector<double> along;
    for (int houses = *rc::gen::inRange(0, 4); houses > 0; --houses) {
      along.push_back(network.links[i].length_m.value * *rc::gen::inRange(0, 11) / 10);
    }
    std::sort(along.begin(), along.end());
    for (const double along_m : along) {
      Connection house;
      house.link = LinkIndex(i);
      house.along_m = along_m;
      house.demand_m3_per_s.value = *rc::gen::inRange(1, 5) * kM3PerDay;
      network.connections.push_back(house);
    }
  }
  return network;
}

TEST(ShortestFeed, AllThatComesInIsAllThatIsDrawn) {
  EXPECT_TRUE(rc::check([] {
    const Network network = AnyNetwork(false);
    const ShortestFeed feed = Feed(network);
    double drawn = 0;
    int services = 0;
    for (size_t i = 0; i < network.nodes.size(); ++i) {
      if (feed.root[i]) drawn += network.nodes[i].demand_m3_per_s;
    }
    for (const Connection& house : network.connections) {
      if (IsShut(network[house.link])) continue;
      drawn += house.demand_m3_per_s.value;
      services += house.count;
    }
    double in = 0;
    int served = 0;
    for (const NodeIndex node : feed.farthest_last) {
      if (feed.parent[At(node)]) continue;
      in += feed.flow_m3_per_s[At(node)];
      served += feed.services[At(node)];
    }
    RC_ASSERT(std::abs(in - drawn) <= 1e-12 * drawn);
    RC_ASSERT(served == services);
  }));
}

TEST(ShortestFeed, EveryOpenLinkIsFedAndNoShutOne) {
  EXPECT_TRUE(rc::check([] {
    const Network network = AnyNetwork(false);
    const ShortestFeed feed = Feed(network);
    for (size_t i = 0; i < network.links.size(); ++i) {
      RC_ASSERT((feed.links[i].fed_by == FedBy::kNothing) == IsShut(network.links[i]));
    }
  }));
}

TEST(ShortestFeed, MassBalancesAtEveryNode) {
  EXPECT_TRUE(rc::check([] {
    const Network network = AnyNetwork(false);
    const ShortestFeed feed = Feed(network);
    const std::vector<size_t> first = FirstConnections(network);
    std::vector<double> left(network.nodes.size(), 0);  // what came in less what went out
    for (size_t i = 0; i < network.links.size(); ++i) {
      const LinkFeed& link = feed.links[i];
      for (const int side : {0, 1}) {
        const auto stretches = StretchesOf(network, first, link, LinkIndex(i), side);
        const NodeIndex node = side == 0 ? network.links[i].from : network.links[i].to;
        const NodeIndex far = OtherEnd(network.links[i], node);
        const bool feeds =
            link.fed_by == FedBy::kBoth || link.fed_by == (side == 0 ? FedBy::kFrom : FedBy::kTo);
        if (!feeds) continue;
        left[At(node)] -= link.drawn_m3_per_s[side] + link.carried_on_m3_per_s;
        left[At(far)] += link.carried_on_m3_per_s;
        // What enters the first stretch is all that is drawn on it but for connections at the very end of it.
        if (!stretches.empty()) {
          RC_ASSERT(stretches.front().flow_m3_per_s <=
                    (link.drawn_m3_per_s[side] + link.carried_on_m3_per_s) * (1 + 1e-12));
        }
      }
    }
    for (size_t i = 0; i < network.nodes.size(); ++i) {
      if (!feed.root[i] || !feed.parent[i]) continue;
      RC_ASSERT(std::abs(left[i] - network.nodes[i].demand_m3_per_s) <= 1e-15);
    }
  }));
}

// On a tree there is one way only, so that a node's flow is all that hangs below it: added up here by walking
// from every customer to the source.
TEST(ShortestFeed, IsExactOnTrees) {
  EXPECT_TRUE(rc::check([] {
    const Network network = AnyNetwork(true);
    const Adjacency adjacency(network);
    const ShortestFeed feed = EstimateFeed(network, adjacency);
    const HangingForest tree = ForestOf(adjacency, [&] {
      std::vector<char> keep(network.nodes.size(), 0);
      keep[0] = 1;
      return keep;
    }());
    std::vector<double> through(network.links.size(), 0);
    const auto walk = [&](NodeIndex node, double flow) {
      for (auto up = tree.parent[At(node)]; up; up = tree.parent[At(node)]) {
        through[At(*up)] += flow;
        node = OtherEnd(network[*up], node);
      }
    };
    for (size_t i = 0; i < network.nodes.size(); ++i) walk(NodeIndex(i), network.nodes[i].demand_m3_per_s);
    for (const Connection& house : network.connections) {
      const Link& link = network[house.link];
      const bool from_is_up = tree.parent[At(link.to)] == house.link;
      walk(from_is_up ? link.from : link.to, house.demand_m3_per_s.value);
    }
    for (size_t i = 0; i < network.links.size(); ++i) {
      RC_ASSERT(std::abs(feed.links[i].carried_on_m3_per_s - through[i]) <= 1e-15);
    }
  }));
}

// A ring of one width fed at one corner: water meets half way round. A house short of that place is served
// from the near side, one beyond it from the other.
TEST(ShortestFeed, CutsARingHalfWayRound) {
  const TestNetwork ring(R"(
    source S 0 0
    junction A 100 0
    junction B 0 60
    junction C 100 100
    pipe S-A 150
    pipe A-C 150
    pipe S-B 150
    pipe B-C 150
    house A-C 80 1
    house A-C 90 2)");
  const ShortestFeed feed = Feed(ring);
  const LinkFeed& cut = feed.links[At(ring.Between("A-C"))];
  ASSERT_EQ(cut.fed_by, FedBy::kBoth);
  double round_m = 0;
  for (const Link& link : ring.links) round_m += link.length_m.value;
  EXPECT_NEAR(ring[ring.Between("S-A")].length_m.value + cut.cut_m, round_m / 2, 1e-6);
  EXPECT_NEAR(feed.links[At(ring.Between("S-A"))].carried_on_m3_per_s, kM3PerDay, 1e-18);
  EXPECT_NEAR(feed.links[At(ring.Between("S-B"))].carried_on_m3_per_s, 2 * kM3PerDay, 1e-18);
  EXPECT_NEAR(cut.drawn_m3_per_s[0], kM3PerDay, 1e-18);
}

TEST(ShortestFeed, TakesTheWideWayRound) {
  const TestNetwork network(R"(
    source S 0 0
    junction A 100 0
    junction B 50 200
    pipe S-A 100
    pipe S-B 300
    pipe A-B 300
    draw A 1)");
  EXPECT_EQ(Feed(network).parent[At(network.Named("A"))], network.Between("A-B"));
}

TEST(ShortestFeed, WaterPassesACheckValveOneWayOnly) {
  const TestNetwork network(R"(
    source S 0 0
    junction A 100 0
    junction B 200 0
    check A-S 300
    pipe S-B 100
    pipe A-B 100)");
  EXPECT_EQ(Feed(network).parent[At(network.Named("A"))], network.Between("A-B"));
}

TEST(ShortestFeed, WithoutASourceBeginsAtTheWidestMainAndSaysSo) {
  const TestNetwork network(R"(
    junction A 0 0
    junction B 100 0
    junction C 200 0
    pipe B-A 150
    pipe B-C 300
    house B-A 100 1)");
  const ShortestFeed feed = Feed(network);
  EXPECT_THAT(feed.assumed_roots, testing::ElementsAre(network.Named("B")));
  EXPECT_EQ(feed.is_assumed[At(network.Named("A"))], 1);
}

// Water in a 100 mm pipe of 100 m, ten houses 10 m apart drawing 1 m3/d each: between houses k and k+1 flows
// what the houses beyond draw. SOURCE: the sum itself, worked out apart from the code.
TEST(ShortestFeed, AgesAreVolumeOverFlowFromHouseToHouse) {
  std::string drawing = "source S 0 0\njunction A 100 0\njunction B 101 0\npipe S-A 100\npipe A-B 100\n";
  for (int k = 1; k <= 9; ++k) drawing += "house S-A " + std::to_string(10 * k) + " 1\n";
  drawing += "draw A 1\n";
  const TestNetwork network(drawing);
  const ShortestFeed feed = Feed(network);
  double days = 0;
  for (int beyond = 10; beyond >= 1; --beyond) days += M_PI / 4 * 0.01 * 10 / beyond;
  EXPECT_NEAR(feed.age_s[At(network.Named("A"))] / 86400, days, 1e-6);  // 100 m to the plane's rounding
  EXPECT_TRUE(std::isinf(feed.age_s[At(network.Named("B"))]));          // nothing is drawn beyond A
  const std::vector<FlowStretch> stretches =
      StretchesOf(network, FirstConnections(network), feed.links[0], LinkIndex(0), 0);
  EXPECT_EQ(stretches.size(), 10u);
}

}  // namespace
}  // namespace lastreach
