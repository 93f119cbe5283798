#include "network/split.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <random>
#include <set>

namespace lastreach {
namespace {

using testing::ElementsAre;

// A 300 m main from A to B, bent at a third, drawn the other way round as the last 300 m of a 500 m feature.
Network OneMain() {
  Network network;
  for (const char* id : {"A", "B"}) {
    Node node;
    node.id = id;
    network.nodes.push_back(node);
  }
  network.nodes[0].elevation_m = Sourced<double>{10, {}};
  network.nodes[1].elevation_m = Sourced<double>{40, {}};
  Link link;
  link.id = "M12";
  link.kind = LinkKind::kCheck;
  link.to = NodeIndex{1};
  link.length_m.value = 300;
  link.minor_loss = 2;
  link.zone = "High";
  link.main_from_m = 500;
  link.main_to_m = 200;
  link.line = {{0, 0}, {0.001, 0}, {0.001, 0.002}};
  network.links.push_back(link);
  return network;
}

TEST(Split, PiecesShareLengthLineAndPlaceOnTheMain) {
  Network network = OneMain();
  const auto nodes = SplitLinks(network, {{LinkIndex{0}, 200}, {LinkIndex{0}, 50}});
  ASSERT_EQ(network.links.size(), 3U);
  EXPECT_THAT(nodes, ElementsAre(NodeIndex{3}, NodeIndex{2}));
  EXPECT_EQ(network.links[0].id, "M12");
  EXPECT_EQ(network.links[1].id, "M12.2");
  EXPECT_EQ(network.links[2].id, "M12.3");
  EXPECT_EQ(network.nodes[2].id, "M12.2");
  EXPECT_EQ(network.links[0].length_m.value, 50);
  EXPECT_EQ(network.links[1].length_m.value, 150);
  EXPECT_EQ(network.links[2].length_m.value, 100);
  EXPECT_EQ(network.links[1].main_from_m, 450);
  EXPECT_EQ(network.links[1].main_to_m, 300);
  EXPECT_EQ(network.links[2].main_to_m, 200);
  EXPECT_EQ(network.links[0].kind, LinkKind::kCheck);
  EXPECT_EQ(network.links[1].kind, LinkKind::kPipe);
  EXPECT_EQ(network.links[0].minor_loss + network.links[1].minor_loss + network.links[2].minor_loss, 2);
  EXPECT_EQ(network.links[1].line.size(), 3U);
  EXPECT_NEAR(network.nodes[2].at->longitude_deg, 0.0005, 1e-12);
  EXPECT_NEAR(network.nodes[3].at->latitude_deg, 0.001, 1e-12);
  EXPECT_EQ(network.links[1].line.front(), *network.nodes[2].at);
  EXPECT_EQ(network.links[1].line.back(), *network.nodes[3].at);
  EXPECT_EQ(network.links[2].line.back(), (Position{0.001, 0.002}));
  EXPECT_EQ(network.nodes[3].elevation_m->value, 30);
  EXPECT_EQ(network.nodes[3].elevation_m->origin.kind, OriginKind::kEstimated);
  EXPECT_EQ(network.nodes[3].zone, "High");
}

TEST(Split, PlacesAtAnEndOrATouchApartShareANode) {
  Network network = OneMain();
  const auto nodes = SplitLinks(network, {{LinkIndex{0}, 0},
                                          {LinkIndex{0}, 300},
                                          {LinkIndex{0}, 100},
                                          {LinkIndex{0}, 100.0005},
                                          {LinkIndex{0}, -4},
                                          {LinkIndex{0}, 999}});
  EXPECT_THAT(
      nodes, ElementsAre(NodeIndex{0}, NodeIndex{1}, NodeIndex{2}, NodeIndex{2}, NodeIndex{0}, NodeIndex{1}));
  EXPECT_EQ(network.links.size(), 2U);
}

TEST(Split, IdsStayUniqueWhereTheNameIsTaken) {
  Network network = OneMain();
  network.nodes[1].id = "M12.2";
  SplitLinks(network, {{LinkIndex{0}, 100}});
  SplitLinks(network, {{LinkIndex{0}, 50}});
  std::set<std::string> nodes, links;
  for (const Node& node : network.nodes) nodes.insert(node.id);
  for (const Link& link : network.links) links.insert(link.id);
  EXPECT_EQ(nodes.size(), 4U);
  EXPECT_EQ(links.size(), 3U);
}

TEST(Split, KeepsEveryCustomerWhereItIs) {
  std::mt19937 random(11);
  std::uniform_real_distribution<double> along(0, 300);
  for (int trial = 0; trial < 200; ++trial) {
    Network network = OneMain();
    std::vector<double> where;
    for (int i = 0; i < 20; ++i) where.push_back(along(random));
    std::sort(where.begin(), where.end());
    std::vector<LinkPlace> kept;
    for (const double at : where) {
      Connection connection;
      connection.along_m = at;
      connection.service.key = std::to_string(at);
      network.connections.push_back(connection);
      kept.push_back({LinkIndex{0}, at});
    }
    std::vector<LinkPlace> cuts;
    for (int i = 0; i < 5; ++i) cuts.push_back({LinkIndex{0}, along(random)});
    SplitLinks(network, cuts, &kept);
    std::map<LinkIndex, double> begins;
    double begin_m = 0;
    for (NodeIndex node{0}; node != NodeIndex{1};) {
      for (size_t i = 0; i < network.links.size(); ++i) {
        if (network.links[i].from != node) continue;
        begins[static_cast<LinkIndex>(i)] = begin_m;
        begin_m += network.links[i].length_m.value;
        node = network.links[i].to;
        break;
      }
    }
    EXPECT_NEAR(begin_m, 300, 1e-9);
    ASSERT_EQ(network.connections.size(), where.size());
    for (const Connection& c : network.connections) {
      EXPECT_NEAR(begins.at(c.link) + c.along_m, std::stod(c.service.key), 1e-5);
    }
    for (size_t i = 0; i < kept.size(); ++i)
      EXPECT_NEAR(begins.at(kept[i].link) + kept[i].along_m, where[i], 1e-9);
    EXPECT_TRUE(std::is_sorted(network.connections.begin(), network.connections.end(), [](auto& a, auto& b) {
      return std::pair(a.link, a.along_m) < std::pair(b.link, b.along_m);
    }));
  }
}

TEST(Split, AnInsertedLinkRunsTheWayOfItsNeighbour) {
  Network network = OneMain();
  const LinkIndex at_end = InsertAt(network, NodeIndex{1}, LinkIndex{0}, LinkKind::kClosed, "V1");
  const LinkIndex at_start = InsertAt(network, NodeIndex{0}, LinkIndex{0}, LinkKind::kPump, "P1");
  EXPECT_EQ(network[at_end].to, NodeIndex{1});
  EXPECT_EQ(network[at_end].from, network.links[0].to);
  EXPECT_EQ(network[at_start].from, NodeIndex{0});
  EXPECT_EQ(network[at_start].to, network.links[0].from);
  EXPECT_EQ(network[at_start].length_m.value, 0);
  EXPECT_EQ(network.nodes.back().id, "P1");
}

}  // namespace
}  // namespace lastreach
