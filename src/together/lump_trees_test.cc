#include "together/lump_trees.h"

#include <gtest/gtest.h>

#include <numeric>

#include "hydraulics/solve.h"
#include "together/random_towns.h"
#include "together/test_street.h"

namespace lastreach {
namespace {

double Drawn_m3_per_s(const Network& network) {
  return std::accumulate(network.nodes.begin(), network.nodes.end(), 0.0,
                         [](double sum, const Node& node) { return sum + node.demand_m3_per_s; });
}

// The street with a run at the end of A.
Network StreetWithARun() {
  Network street = ForkedStreet().network;
  street.runs.push_back({ForkedStreet().placed[0].node, 2, 30, 0.003, {}, {}});
  return street;
}

TEST(LumpTrees, TakesAwayWhatNobodyAsksAboutAndDrawsItWhereItHung) {
  const Network street = StreetWithARun();
  const PlanningNetwork placed = ForkedStreet();
  const NodeIndex tee = placed.placed[0].root;
  const LumpedNetwork lumped = LumpTrees(street, {tee});
  EXPECT_EQ(lumped.network.nodes.size(), 2U);
  EXPECT_EQ(lumped.network.links.size(), 1U);
  const NodeIndex now = lumped.node_of[At(tee)];
  EXPECT_EQ(lumped.node_of[At(placed.placed[0].node)], now);
  EXPECT_EQ(lumped.network[now].id, "T");
  EXPECT_DOUBLE_EQ(lumped.network[now].demand_m3_per_s, 0.34e-3);
  ASSERT_EQ(lumped.network.runs.size(), 1U);
  EXPECT_EQ(lumped.network.runs[0].node, now);
}

// The oracle: heads of the network as it was.
TEST(LumpTrees, ChangesNoHeadInWhatRemains) {
  std::mt19937_64 random(20261126);
  size_t gone = 0;
  for (int town = 0; town < 40; ++town) {
    RandomTown made(random, 25, 2, true);
    const std::vector<NodeIndex> keep = {made.points[0].node, made.points[1].node};
    const LumpedNetwork lumped = LumpTrees(made.network(), keep);
    const SteadyState whole = *SolveSteady(made.network());
    const SteadyState small = *SolveSteady(lumped.network);
    for (const NodeIndex node : keep) {
      EXPECT_EQ(lumped.network[lumped.node_of[At(node)]].id, made.network()[node].id);
      EXPECT_NEAR(small.head_m[At(lumped.node_of[At(node)])], whole.head_m[At(node)], 1e-6);
    }
    gone += made.network().nodes.size() - lumped.network.nodes.size();
  }
  EXPECT_GT(gone, 40U * 5);
}

TEST(LumpTrees, KeepsTheWayToANodeThatIsAskedAbout) {
  const Network street = StreetWithARun();
  const PlanningNetwork placed = ForkedStreet();
  const NodeIndex half = placed.placed[0].judged[0];
  const LumpedNetwork lumped = LumpTrees(street, {half});
  EXPECT_EQ(lumped.network.nodes.size(), 3U);
  EXPECT_EQ(lumped.network[lumped.node_of[At(half)]].id, "A1");
  EXPECT_DOUBLE_EQ(lumped.network[lumped.node_of[At(half)]].demand_m3_per_s, 0.02e-3);
  EXPECT_DOUBLE_EQ(Drawn_m3_per_s(lumped.network), Drawn_m3_per_s(street));
}

TEST(LumpTrees, LeavesWhatDrawsByAnotherPattern) {
  Network street = StreetWithARun();
  const PlanningNetwork placed = ForkedStreet();
  street.patterns.push_back({"works", {0, 2}});
  street[placed.placed[0].judged[1]].pattern = "works";
  const LumpedNetwork lumped = LumpTrees(street, {placed.placed[0].root});
  EXPECT_EQ(lumped.network.nodes.size(), 4U);  // B has gone, all of A stays
}

TEST(LumpTrees, LeavesATreeWithALeakOrAShutValveOrARuleInIt) {
  const PlanningNetwork placed = ForkedStreet();
  const NodeIndex root = placed.placed[0].root;
  Network leaking = StreetWithARun();
  leaking[placed.placed[0].judged[0]].leak = Leak{0.002, 0.6};
  EXPECT_EQ(LumpTrees(leaking, {root}).network.nodes.size(), 3U);
  Network shut = StreetWithARun();
  shut.links[1].kind = LinkKind::kClosed;
  EXPECT_EQ(LumpTrees(shut, {root}).network.nodes.size(), 3U);
  Network ruled = StreetWithARun();
  ruled.rules.push_back({LinkIndex{1}, false, {}, {}, {}, 6});
  const LumpedNetwork lumped = LumpTrees(ruled, {root});
  EXPECT_EQ(lumped.network.nodes.size(), 3U);
  EXPECT_EQ(lumped.network.links[At(lumped.network.rules[0].link)].id, ruled.links[1].id);
}

}  // namespace
}  // namespace lastreach
