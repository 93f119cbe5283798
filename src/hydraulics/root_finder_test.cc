// The solver against a root finder that knows nothing of networks: GSL's hybrid method on all heads and flows
// together. Which valve is in which state is not found but tried: every combination is solved, and the one
// whose answer agrees with itself must be ours. Where none agrees, ours must not claim one.
#include <gtest/gtest.h>

#include "hydraulics/random_networks.h"
#include "hydraulics/root_finder.h"

namespace lastreach {
namespace {

void ExpectIsRoot(const Network& network, const SteadyState& state, const std::vector<double>& root,
                  int which) {
  const std::vector<char> moves = NodesWhereWaterMoves(network, state);
  for (size_t k = 0; k < network.nodes.size(); ++k) {
    if (moves[k] == 0) continue;
    EXPECT_NEAR(state.head_m[k], root[k], 1e-5) << "network " << which << " node " << k;
  }
  for (size_t k = 0; k < network.links.size(); ++k) {
    EXPECT_NEAR(state.flow_m3_per_s[k], root[network.nodes.size() + k] / 1000, 1e-6)
        << "network " << which << " link " << k;
  }
}

TEST(SteadyState, IsThatOfARootFinderThatTriesEveryStateOfEveryValve) {
  gsl_set_error_handler_off();
  constexpr int kNetworks = 1000;
  int compared = 0, both_none = 0, not_found = 0, all_fed = 0;
  for (int i = 0; i < kNetworks; ++i) {
    std::mt19937_64 random(20261125 + static_cast<unsigned>(i));
    const Network network = RandomNetwork(random).Make();
    const auto state = SolveSteady(network);
    ASSERT_TRUE(state.ok()) << state.error().ToString();
    if (!state->summary.not_fed.empty()) continue;
    ++all_fed;
    const auto root = SolveByTrying(network, random);
    const bool converged = state->summary.status == SolveStatus::kConverged;
    if (!root) {
      ++(converged ? not_found : both_none);
      // Ours has an answer of which the finder found no root: it must still balance.
      EXPECT_LT(converged ? state->summary.energy_imbalance_m : 0, 1e-6) << "network " << i;
      continue;
    }
    EXPECT_TRUE(converged) << "network " << i << ": " << state->summary.BriefReport(network);
    if (!converged) continue;
    ++compared;
    ExpectIsRoot(network, *state, *root, i);
  }
  RecordProperty("compared", compared);
  RecordProperty("none_for_either", both_none);
  RecordProperty("fed_whole", all_fed);
  EXPECT_GT(compared, kNetworks / 2);
  EXPECT_LT(not_found, compared / 10);
}

// The same with what stands at nodes, in networks of which few links have states: leaks, tanks that may only
// fill, only give or neither, demands that fall with pressure, chains of pipes.
TEST(SteadyState, WithLeaksTanksAndShortPressureIsThatOfTheRootFinder) {
  gsl_set_error_handler_off();
  constexpr int kNetworks = 500;
  int compared = 0, short_of = 0, gated = 0;
  for (int i = 0; i < kNetworks; ++i) {
    std::mt19937_64 random(31 + static_cast<unsigned>(i));
    const auto pick = [&](int below) { return std::uniform_int_distribution<int>(0, below - 1)(random); };
    Network network = RandomNetwork(random).Make(3, i % 2);
    Supply supply;
    std::vector<TankGate> gates(network.nodes.size(), TankGate::kFree);
    int drawing = 0;
    for (size_t k = 0; k < network.nodes.size(); ++k) {
      Node& node = network.nodes[k];
      if (node.kind != NodeKind::kJunction) continue;
      const bool has_run = !network.runs.empty() && At(network.runs[0].node) == k;
      if (!has_run && pick(6) == 0) {
        node.kind = NodeKind::kTank;
        node.demand_m3_per_s = 0;
        node.tank = TankShape{10, 30.0 + 4 * pick(10), 0, 80};
        gates[k] = static_cast<TankGate>(pick(4));
        gated += gates[k] != TankGate::kFree;
        continue;
      }
      if (pick(5) == 0) node.leak = Leak{0.004 + 0.004 * pick(5), 0.6};
      if (i % 2 && ++drawing > 4) {
        node.demand_m3_per_s = 0;
      }
    }
    if (i % 2) network.options.short_pressure = ShortPressure{2.0 * pick(3), 15.0 + 10 * pick(6)};
    supply = *SupplyAt(network, 0);
    supply.tank_gate = gates;
    const auto state = SolveSteady(network, supply);
    ASSERT_TRUE(state.ok()) << state.error().ToString();
    if (!state->summary.not_fed.empty()) continue;
    const auto root = SolveByTrying(network, random, gates);
    if (!root) continue;
    EXPECT_TRUE(state->summary.IsUsable()) << "network " << i << ": " << state->summary.BriefReport(network);
    if (!state->summary.IsUsable()) continue;
    ++compared;
    bool is_short = false;
    for (size_t k = 0; k < network.nodes.size(); ++k) {
      const Node& node = network.nodes[k];
      if (node.kind != NodeKind::kJunction || !network.options.short_pressure) continue;
      is_short = is_short || state->outflow_m3_per_s[k] < node.demand_m3_per_s - 1e-6;
    }
    short_of += is_short;
    ExpectIsRoot(network, *state, *root, i);
  }
  RecordProperty("compared", compared);
  RecordProperty("with_short_pressure", short_of);
  RecordProperty("gates", gated);
  EXPECT_GT(compared, kNetworks / 2);
  EXPECT_GT(short_of, 10);
}

// Larger than can be tried state by state: whatever is claimed must balance, and what is not claimed must say
// where it fights.
TEST(SteadyState, OfAnyNetworkEitherBalancesOrNamesWhatDoesNotSettle) {
  constexpr int kNetworks = 200;
  int converged = 0;
  for (int i = 0; i < kNetworks; ++i) {
    std::mt19937_64 random(977 + static_cast<unsigned>(i));
    const Network network = RandomNetwork(random).Make(60, 20);
    const auto state = SolveSteady(network);
    ASSERT_TRUE(state.ok());
    const bool is_claimed = state->summary.status == SolveStatus::kConverged;
    converged += is_claimed;
    EXPECT_LT(is_claimed ? state->summary.mass_imbalance_m3_per_s : 0, 1e-9) << "network " << i;
    EXPECT_LT(is_claimed ? state->summary.energy_imbalance_m : 0, 1e-6) << "network " << i;
    EXPECT_NE(is_claimed, !state->summary.unsettled.empty()) << "network " << i;
  }
  EXPECT_GT(converged, 0);
  RecordProperty("converged", converged);
}

}  // namespace
}  // namespace lastreach
