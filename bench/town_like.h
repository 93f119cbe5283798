#pragma once

#include <algorithm>
#include <cmath>
#include <numeric>
#include <random>
#include <string>
#include <vector>

#include "network/network.h"

namespace lastreach {

// For benchmarks: a network drawn like a town, the same every time: streets on a bent grid of which a fifth
// of the blocks is missing, a few mains of 300 mm among pipes of 100 to 150 mm, a third of all links in
// trees, one source, 100 mL/s a thousand links and node.
class TownLike {
 public:
  explicit TownLike(int links) : random_(20261125) {
    const int side = SideOf(links);
    for (int i = 0; i < side * side; ++i) AddNode();
    LayStreets(side);
    while (static_cast<int>(network.links.size()) < links) {
      const auto beside = NodeIndex(static_cast<uint32_t>(Pick(static_cast<int>(network.nodes.size()))));
      AddPipe(beside, AddNode(), 0.1);
    }
    Node& source = network.nodes[static_cast<size_t>(side / 20 * 10 * side + side / 20 * 10)];
    source.kind = NodeKind::kSource;
    source.head_m = 100;
    for (Node& node : network.nodes) node.demand_m3_per_s *= 100.0 / links;
  }
  // Crossings along one side of the grid; those of mains are at multiples of ten.
  static int SideOf(int links) { return std::max(3, static_cast<int>(std::sqrt(links * (2.0 / 3) / 1.6))); }
  Network network;

 private:
  struct Block {
    int from = 0, to = 0;
    bool is_main = false;
  };
  // Blocks in any order: one that joins two parts is laid, of the others four in five.
  void LayStreets(int side) {
    std::vector<Block> blocks;
    for (int i = 0; i < side * side; ++i) {
      const int row = i / side, column = i % side;
      if (column + 1 < side) blocks.push_back({i, i + 1, row % 10 == 0});
      if (row + 1 < side) blocks.push_back({i, i + side, column % 10 == 0});
    }
    std::shuffle(blocks.begin(), blocks.end(), random_);
    std::vector<int> root(static_cast<size_t>(side * side));
    std::iota(root.begin(), root.end(), 0);
    const auto find = [&](int i) {
      while (root[static_cast<size_t>(i)] != i) {
        i = root[static_cast<size_t>(i)] = root[static_cast<size_t>(root[static_cast<size_t>(i)])];
      }
      return i;
    };
    for (const Block& block : blocks) {
      const int a = find(block.from), b = find(block.to);
      if (a == b && !block.is_main && Pick(5) == 0) continue;
      root[static_cast<size_t>(a)] = b;
      AddPipe(NodeIndex(static_cast<uint32_t>(block.from)), NodeIndex(static_cast<uint32_t>(block.to)),
              block.is_main ? 0.3 : 0.1 + 0.05 * Pick(2));
    }
  }
  int Pick(int below) { return std::uniform_int_distribution<int>(0, below - 1)(random_); }
  NodeIndex AddNode() {
    Node node;
    node.id = std::to_string(network.nodes.size());
    node.demand_m3_per_s = std::uniform_real_distribution<double>(0, 2e-3)(random_);
    network.nodes.push_back(node);
    return NodeIndex(static_cast<uint32_t>(network.nodes.size() - 1));
  }
  void AddPipe(NodeIndex from, NodeIndex to, double diameter_m) {
    Link link;
    link.id = std::to_string(network.links.size());
    link.from = from;
    link.to = to;
    link.length_m.value = std::uniform_real_distribution<double>(20, 150)(random_);
    link.inner_diameter_m = Sourced<double>{diameter_m, {}};
    link.roughness = Sourced<double>{std::uniform_real_distribution<double>(90, 140)(random_), {}};
    network.links.push_back(link);
  }
  std::mt19937_64 random_;
};

}  // namespace lastreach
