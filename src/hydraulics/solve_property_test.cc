// What must hold for any network, whatever its numbers.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <random>

#include "hydraulics/steady_solver.h"
#include "hydraulics/test_networks.h"
#include "network/split.h"

namespace lastreach {
namespace {

// Flows are settled to 1e-7 m3/s; two ways to one answer differ by a few of those.
constexpr double kFlow_m3_per_s = 1e-6;
// Heads that follow from a formula, not from another answer.
constexpr double kHead_m = 2e-6;

// Junctions on a tree with further links, all pipes and check valves, one or two sources.
Network RandomPipes(unsigned seed, bool is_level = false) {
  std::mt19937_64 random(seed);
  const auto pick = [&](int below) { return std::uniform_int_distribution<int>(0, below - 1)(random); };
  const auto in = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  const auto node = [](int i) { return NodeIndex(static_cast<uint32_t>(i)); };
  Hand hand;
  hand.Source(is_level ? 0 : in(60, 90));
  if (!is_level && pick(2)) hand.Source(in(50, 80));
  const int nodes = 4 + pick(30);
  while (static_cast<int>(hand.network.nodes.size()) < nodes) hand.Junction(0, pick(3) ? in(0, 0.005) : 0);
  const auto add = [&](int a, int b) {
    const LinkKind kind = !is_level && pick(8) == 0 ? LinkKind::kCheck : LinkKind::kPipe;
    hand.Pipe(node(a), node(b), in(10, 900), in(0.08, 0.4), in(80, 140), kind).minor_loss =
        is_level || pick(3) ? 0 : in(0, 5);
  };
  for (int i = 1; i < nodes; ++i) add(pick(i), i);
  for (int i = pick(nodes); i > 0; --i) {
    const int a = pick(nodes), b = pick(nodes);
    if (a != b) add(a, b);
  }
  return hand.network;
}

SteadyState Solved(const Network& network) {
  const auto state = SolveSteady(network);
  RC_ASSERT(state.ok());
  RC_ASSERT(state->summary.status == SolveStatus::kConverged);
  RC_ASSERT(state->summary.not_fed.empty());
  RC_ASSERT(state->summary.mass_imbalance_m3_per_s < 1e-9);
  const auto [low, high] = std::minmax_element(state->head_m.begin(), state->head_m.end());
  RC_ASSERT(state->summary.energy_imbalance_m < 2e-7 + 1e-9 * (*high - *low));
  return *state;
}

// Whether a node's head is one: behind one-way valves that pass nothing, water that nobody draws stands at
// any head that keeps them shut.
std::vector<char> HasOneHead(const Network& network, const SteadyState& state) {
  constexpr double kPasses_m3_per_s = 1e-8;
  std::vector<char> has(network.nodes.size(), 0);
  for (size_t i = 0; i < has.size(); ++i) has[i] = IsFeeder(network.nodes[i]) ? 1 : 0;
  for (bool more = true; more;) {
    more = false;
    for (size_t i = 0; i < network.links.size(); ++i) {
      const Link& link = network.links[i];
      char &from = has[At(link.from)], &to = has[At(link.to)];
      if (from == to || (link.kind == LinkKind::kCheck && state.flow_m3_per_s[i] < kPasses_m3_per_s))
        continue;
      from = to = 1;
      more = true;
    }
  }
  return has;
}

// How far heads of two answers with the same demands can lie apart: losses rise with flow, so an energy
// missed in one link moves no head by more than itself, and there are so many links.
double Apart_m(const Network& network, const SteadyState& a, const SteadyState& b) {
  return static_cast<double>(network.links.size()) *
         (a.summary.energy_imbalance_m + b.summary.energy_imbalance_m + 1e-9);
}

void ExpectNear(double a, double b, double tolerance) { RC_ASSERT(std::abs(a - b) <= tolerance); }

std::vector<uint32_t> Shuffled(size_t size, std::mt19937_64& random) {
  std::vector<uint32_t> order(size);
  std::iota(order.begin(), order.end(), 0U);
  std::shuffle(order.begin(), order.end(), random);
  return order;
}

RC_GTEST_PROP(SteadyStateProperty, RelabellingNodesAndLinksChangesNothing, (unsigned seed)) {
  const Network network = RandomPipes(seed);
  std::mt19937_64 random(seed);
  const auto node_to = Shuffled(network.nodes.size(), random);
  const auto link_to = Shuffled(network.links.size(), random);
  Network other = network;
  for (size_t i = 0; i < node_to.size(); ++i) other.nodes[node_to[i]] = network.nodes[i];
  for (size_t i = 0; i < link_to.size(); ++i) {
    Link& link = other.links[link_to[i]];
    link = network.links[i];
    link.from = NodeIndex(node_to[At(link.from)]);
    link.to = NodeIndex(node_to[At(link.to)]);
  }
  const SteadyState a = Solved(network), b = Solved(other);
  const auto has_one = HasOneHead(network, a);
  for (size_t i = 0; i < node_to.size(); ++i) {
    if (has_one[i]) ExpectNear(a.head_m[i], b.head_m[node_to[i]], Apart_m(network, a, b));
  }
  for (size_t i = 0; i < link_to.size(); ++i) {
    ExpectNear(a.flow_m3_per_s[i], b.flow_m3_per_s[link_to[i]], kFlow_m3_per_s);
  }
}

RC_GTEST_PROP(SteadyStateProperty, TurningAPipeRoundTurnsItsFlow, (unsigned seed)) {
  const Network network = RandomPipes(seed);
  Network other = network;
  for (Link& link : other.links) {
    if (link.kind == LinkKind::kPipe) std::swap(link.from, link.to);
  }
  const SteadyState a = Solved(network), b = Solved(other);
  for (size_t i = 0; i < network.links.size(); ++i) {
    const double sign = network.links[i].kind == LinkKind::kPipe ? -1 : 1;
    ExpectNear(a.flow_m3_per_s[i], sign * b.flow_m3_per_s[i], kFlow_m3_per_s);
  }
}

// Hazen-Williams without minor losses: all flows s times as large lose s^1.852 times as much.
RC_GTEST_PROP(SteadyStateProperty, ScaledDemandsScaleFlowsAndLosses, (unsigned seed)) {
  const Network network = RandomPipes(seed, true);
  const double scale = 0.5 + static_cast<double>(seed % 97) / 40;
  Network other = network;
  for (Node& node : other.nodes) node.demand_m3_per_s *= scale;
  const SteadyState a = Solved(network), b = Solved(other);
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    const double expected_m = a.head_m[i] * std::pow(scale, 1.852);
    ExpectNear(b.head_m[i], expected_m,
               Apart_m(network, a, b) * std::max(1.0, std::pow(scale, 1.852)) + 1e-8 * std::abs(expected_m));
  }
  for (size_t i = 0; i < network.links.size(); ++i) {
    ExpectNear(b.flow_m3_per_s[i], a.flow_m3_per_s[i] * scale, 5 * kFlow_m3_per_s);
  }
}

RC_GTEST_PROP(SteadyStateProperty, SplittingPipesChangesNothing, (unsigned seed)) {
  const Network network = RandomPipes(seed);
  Network other = network;
  std::vector<LinkPlace> places;
  for (uint32_t i = 0; i < network.links.size(); i += 2) {
    places.push_back({LinkIndex(i), network.links[i].length_m.value * 0.3});
  }
  SplitLinks(other, places);
  const SteadyState a = Solved(network), b = Solved(other);
  const auto has_one = HasOneHead(network, a);
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    if (has_one[i]) ExpectNear(a.head_m[i], b.head_m[i], Apart_m(other, a, b));
  }
}

// A link that has once been shut stands for itself: after all have been, no two pipes are one chain.
RC_GTEST_PROP(SteadyStateProperty, PipesInARowAreAsPipesAlone, (unsigned seed)) {
  const Network network = RandomPipes(seed);
  auto solver = SteadySolver::Make(network);
  Supply supply = *SupplyAt(network, 0);
  supply.shut.assign(network.links.size(), 1);
  RC_ASSERT(solver->Solve(supply).ok());
  supply.shut.clear();
  const auto alone = solver->Solve(supply);
  RC_ASSERT(alone.ok());
  RC_ASSERT((*alone)->summary.IsUsable());
  const SteadyState a = Solved(network);
  RC_ASSERT(a.summary.unknown_heads <= (*alone)->summary.unknown_heads);
  const auto has_one = HasOneHead(network, a);
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    if (has_one[i]) ExpectNear(a.head_m[i], (*alone)->head_m[i], Apart_m(network, a, **alone));
  }
  for (size_t i = 0; i < network.links.size(); ++i) {
    ExpectNear(a.flow_m3_per_s[i], (*alone)->flow_m3_per_s[i], kFlow_m3_per_s);
  }
}

// In series lengths over D^4.871 C^1.852 add; side by side their powers -1/1.852 do. Hazen-Williams.
RC_GTEST_PROP(SteadyStateProperty, PipesInSeriesAndSideBySideAreOnePipe, (unsigned seed)) {
  std::mt19937_64 random(seed);
  const auto in = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  const double d1 = in(0.1, 0.4), d2 = in(0.1, 0.4), l1 = in(100, 900), l2 = in(100, 900), c1 = in(80, 140),
               c2 = in(80, 140), flow = in(0.005, 0.05);
  const auto resistance = [](double l, double d, double c) {
    return l / std::pow(d, 4.871) / std::pow(c, 1.852);
  };
  const double r1 = resistance(l1, d1, c1), r2 = resistance(l2, d2, c2);
  const auto loss = [&](double r) { return 10.667 * r * std::pow(flow, 1.852); };
  for (const bool in_series : {true, false}) {
    Hand hand;
    const NodeIndex source = hand.Source(100), middle = hand.Junction(0, 0), end = hand.Junction(0, flow);
    hand.Pipe(source, in_series ? middle : end, l1, d1, c1);
    hand.Pipe(in_series ? middle : source, end, l2, d2, c2);
    if (!in_series) hand.Pipe(end, middle, 1, 0.1);
    const double expected = in_series
                                ? loss(r1 + r2)
                                : loss(std::pow(std::pow(r1, -1 / 1.852) + std::pow(r2, -1 / 1.852), -1.852));
    ExpectNear(100 - Solved(hand.network).head_m[At(end)], expected, kHead_m);
  }
}

// Networks in whose last step a pipe's flow turned or a valve shut: its slope then was far from the factor's.
TEST(SteadyState, BalancesEveryLinkWhereAFlowTurnsInTheLastStep) {
  for (const unsigned seed : {4496371U, 54201U, 118747213U, 133687U, 3102U}) {
    Network network = RandomPipes(seed);
    const Network as_drawn = network;
    for (Link& link : network.links) {
      if (link.kind == LinkKind::kPipe) std::swap(link.from, link.to);
    }
    for (const Network* each : {&as_drawn, static_cast<const Network*>(&network)}) {
      const auto state = SolveSteady(*each);
      ASSERT_TRUE(state.ok());
      EXPECT_EQ(state->summary.status, SolveStatus::kConverged) << seed;
      EXPECT_LT(state->summary.energy_imbalance_m, 2e-7) << seed;
    }
  }
}

// A source in the middle of a cross of equal loops: the four corners are alike.
TEST(SteadyState, OfASymmetricNetworkIsSymmetric) {
  Hand hand;
  const NodeIndex source = hand.Source(50);
  std::vector<NodeIndex> side, corner;
  for (int i = 0; i < 4; ++i) side.push_back(hand.Junction(0, 0.002));
  for (int i = 0; i < 4; ++i) corner.push_back(hand.Junction(0, 0.003));
  for (size_t i = 0; i < 4; ++i) {
    hand.Pipe(source, side[i], 200, 0.15);
    hand.Pipe(side[i], corner[i], 150, 0.1);
    hand.Pipe(corner[i], side[(i + 1) % 4], 150, 0.1);
  }
  const auto state = SolveSteady(hand.network);
  ASSERT_TRUE(state.ok());
  for (size_t i = 1; i < 4; ++i) {
    EXPECT_NEAR(state->head_m[At(corner[i])], state->head_m[At(corner[0])], 1e-9);
    EXPECT_NEAR(state->flow_m3_per_s[3 * i + 1], 0.0015, 1e-9);
  }
}

}  // namespace
}  // namespace lastreach
