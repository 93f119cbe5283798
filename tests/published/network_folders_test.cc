// The published networks of data/published/ as plain folders: that the reader takes from them what their
// papers print (each folder's SOURCE.md), before any solver is held against them.
#include <gtest/gtest.h>

#include <functional>
#include <numeric>

#include "network/plain_tables.h"

namespace lastreach {
namespace {

struct Shape {
  size_t nodes = 0;
  size_t links = 0;
  int parts = 0;
  int loops = 0;  // links - nodes + parts
  double demand_m3_per_s = 0;
  double length_m = 0;
};

Shape ShapeOf(const Network& network) {
  std::vector<size_t> root(network.nodes.size());
  std::iota(root.begin(), root.end(), size_t{0});
  const std::function<size_t(size_t)> find = [&](size_t i) { return root[i] == i ? i : find(root[i]); };
  Shape shape{network.nodes.size(), network.links.size(), static_cast<int>(network.nodes.size()), 0, 0, 0};
  for (const Link& link : network.links) {
    const size_t from = find(At(link.from));
    const size_t to = find(At(link.to));
    if (from != to) --shape.parts;
    root[from] = to;
    shape.length_m += link.length_m.value;
  }
  shape.loops = static_cast<int>(shape.links) - static_cast<int>(shape.nodes) + shape.parts;
  for (const Node& node : network.nodes) shape.demand_m3_per_s += node.demand_m3_per_s;
  return shape;
}

Network Read(const std::string& name) {
  std::vector<std::string> notes;
  Result<Network> network = ReadNetworkFolder("data/published/" + name, &notes);
  EXPECT_TRUE(network.ok()) << network.error().ToString();
  EXPECT_TRUE(notes.empty()) << notes.front();
  return network.ok() ? *network : Network{};
}

TEST(AlperovitsShamir1977, HasTwoLoopsAndDraws1120CubicMetresAnHour) {
  const Network network = Read("alperovits_shamir_1977");
  const Shape shape = ShapeOf(network);
  EXPECT_EQ(shape.nodes, 7U);
  EXPECT_EQ(shape.links, 8U);
  EXPECT_EQ(shape.parts, 1);
  EXPECT_EQ(shape.loops, 2);
  EXPECT_EQ(shape.length_m, 8000);
  // Six demands, each rounded to a double once.
  EXPECT_NEAR(shape.demand_m3_per_s * 3600, 1120, 1e-9);
  EXPECT_EQ(network.nodes[0].kind, NodeKind::kSource);
  EXPECT_EQ(network.nodes[0].head_m, 210.0);
  EXPECT_EQ(network.links[0].inner_diameter_m->value, 0.4572);  // 18 in
  EXPECT_EQ(network.options.hazen_williams_constant, 10.667);
}

TEST(Maurer, Example47HasThreeLoopsAndDraws80LitresASecond) {
  const Network network = Read("maurer_three_loops");
  const Shape shape = ShapeOf(network);
  EXPECT_EQ(shape.nodes, 8U);
  EXPECT_EQ(shape.links, 10U);
  EXPECT_EQ(shape.parts, 1);
  EXPECT_EQ(shape.loops, 3);
  EXPECT_NEAR(shape.demand_m3_per_s, 0.08, 1e-15);
  EXPECT_EQ(network.options.head_loss, HeadLoss::kDarcyWeisbach);
  for (const Link& link : network.links) EXPECT_EQ(link.roughness->value, 0.25e-3);
}

TEST(Maurer, Example46IsOneLoopOfTwoPipes) {
  const Network network = Read("maurer_two_pipes");
  const Shape shape = ShapeOf(network);
  EXPECT_EQ(shape.nodes, 2U);
  EXPECT_EQ(shape.links, 2U);
  EXPECT_EQ(shape.loops, 1);
  EXPECT_EQ(shape.demand_m3_per_s, 0.5);
  EXPECT_EQ(network.links[1].inner_diameter_m->value, 0.3);
  EXPECT_EQ(network.links[1].roughness->value, 0.025e-3);
  EXPECT_EQ(network.options.viscosity_m2_per_s, 3.03e-7);
}

}  // namespace
}  // namespace lastreach
