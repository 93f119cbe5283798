#pragma once

#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

#include "hydraulics/solve.h"
#include "hydraulics/test_networks.h"

namespace lastreach {

// For tests: small looped networks with every kind of link.
class RandomNetwork {
 public:
  explicit RandomNetwork(std::mt19937_64& random) : random_(random) {}
  Network Make(int least_junctions = 3, int specials = 3) {
    hand_ = Hand();
    if (Pick(3) == 0) hand_.network.options.head_loss = HeadLoss::kDarcyWeisbach;
    const int junctions = least_junctions + Pick(5);
    hand_.Source(In(60, 90));
    if (Pick(2)) hand_.Source(In(50, 80));
    while (static_cast<int>(hand_.network.nodes.size()) < junctions + 1) {
      hand_.Junction(In(0, 30), Pick(4) ? In(0.0005, 0.008) : 0);
    }
    const int nodes = static_cast<int>(hand_.network.nodes.size());
    specials_ = specials;
    for (int i = 1; i < nodes; ++i) {
      const int beside = Pick(i);
      Pick(6) ? AddLink(beside, i) : AddLink(i, beside);
    }
    for (int i = Pick(least_junctions + 1); i >= 0; --i) {
      const int a = Pick(nodes), b = Pick(nodes);
      if (a != b) AddLink(a, b);
    }
    if (Pick(3) == 0)
      hand_.network.runs.push_back(
          {NodeIndex(static_cast<uint32_t>(nodes - 1)), 0, 60, {}, In(0.01, 0.05), In(0.6, 0.95)});
    return hand_.network;
  }

 private:
  int Pick(int below) { return std::uniform_int_distribution<int>(0, below - 1)(random_); }
  double In(double low, double high) { return std::uniform_real_distribution<double>(low, high)(random_); }
  void AddLink(int a, int b) {
    const auto from = NodeIndex(static_cast<uint32_t>(a)), to = NodeIndex(static_cast<uint32_t>(b));
    const int kind = specials_ > 0 && Pick(3) == 0 ? Pick(5) : 5;
    specials_ -= kind < 5;
    const double rough =
        hand_.network.options.head_loss == HeadLoss::kHazenWilliams ? In(80, 140) : In(1e-5, 2e-3);
    if (kind == 0) hand_.Pipe(from, to, In(50, 900), In(0.08, 0.3), rough, LinkKind::kCheck);
    if (kind == 1) hand_.Valve(LinkKind::kReducing, from, to, In(15, 60));
    if (kind == 2) hand_.Valve(LinkKind::kSustaining, from, to, In(15, 60));
    if (kind == 3) hand_.Valve(LinkKind::kLimiting, from, to, In(0.001, 0.02));
    if (kind == 4) hand_.Pump(from, to, In(20, 50), In(0.005, 0.02), In(10, 19));
    if (kind == 5)
      hand_.Pipe(from, to, In(50, 900), In(0.08, 0.3), rough).minor_loss = Pick(3) ? 0 : In(0.1, 5);
  }
  std::mt19937_64& random_;
  Hand hand_;
  int specials_ = 0;
};

// Where all links round a node are still, a shut one among them, its head may be anything between two bounds.
inline std::vector<char> NodesWhereWaterMoves(const Network& network, const SteadyState& state) {
  std::vector<char> moves(network.nodes.size(), 0);
  for (size_t i = 0; i < network.links.size(); ++i) {
    if (std::abs(state.flow_m3_per_s[i]) < 1e-7) continue;
    moves[At(network.links[i].from)] = 1;
    moves[At(network.links[i].to)] = 1;
  }
  return moves;
}

}  // namespace lastreach
