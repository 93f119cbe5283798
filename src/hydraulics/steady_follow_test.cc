#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "hydraulics/balance.h"
#include "hydraulics/random_networks.h"
#include "hydraulics/steady_solver.h"

namespace lastreach {
namespace {

// A looped town of one source, `side` by `side` junctions and a dead end at each third, of narrow pipes and a
// few wide ones; with every kind of link where `specials` says so.
Network Town(int side, bool specials, HeadLoss head_loss, std::mt19937_64& random) {
  const auto in = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  Hand hand;
  hand.network.options.head_loss = head_loss;
  const double rough = head_loss == HeadLoss::kHazenWilliams ? 110 : 2e-4;
  std::vector<NodeIndex> grid;
  for (int i = 0; i < side * side; ++i) grid.push_back(hand.Junction(in(0, 20), in(0, 2e-5)));
  const auto pipe = [&](NodeIndex a, NodeIndex b, bool is_main) {
    hand.Pipe(a, b, in(20, 150), is_main ? 0.3 : 0.1 + 0.05 * (in(0, 2) < 1), rough);
  };
  for (int i = 0; i < side * side; ++i) {
    const auto at = static_cast<size_t>(i);
    if ((i + 1) % side != 0) pipe(grid[at], grid[at + 1], i / side % 5 == 0);
    if (i + side < side * side) pipe(grid[at], grid[at + static_cast<size_t>(side)], i % side % 5 == 0);
    if (i % 3 == 0) pipe(grid[at], hand.Junction(5, in(0, 1e-5)), false);
  }
  const NodeIndex source = hand.Source(70);
  hand.Pipe(source, grid[0], 50, 0.4, rough);
  if (!specials) return hand.network;
  hand.Pipe(grid[3], grid[8], 300, 0.1, rough, LinkKind::kCheck);
  hand.Pipe(grid[9], grid[4], 300, 0.1, rough, LinkKind::kCheck);
  hand.Valve(LinkKind::kLimiting, grid[2], grid[12], 1e-4);
  const NodeIndex low = hand.Junction(0, 1e-3);
  hand.Valve(LinkKind::kLimiting, grid[5], low, 2e-3);
  pipe(low, hand.Junction(0, 1e-4), false);
  const NodeIndex tank = hand.Tank(40, {10, 25, 0, 40});
  pipe(tank, grid.back(), false);
  hand.Pump(grid[7], hand.Junction(0, 1e-4), 20, 1e-3, 10);
  return hand.network;
}

// Devices on and off, some as openings, a few at a time.
void Switch(const Network& network, const Supply& before, double most_m3_per_s, std::mt19937_64& random,
            Supply& supply) {
  const auto pick = [&](size_t below) { return std::uniform_int_distribution<size_t>(0, below - 1)(random); };
  for (size_t k = 1 + pick(3); k > 0; --k) {
    const size_t node = pick(network.nodes.size());
    if (IsFeeder(network.nodes[node])) continue;
    if (pick(4) == 0) {
      if (!supply.openings.empty())
        supply.openings.clear();
      else
        supply.openings.push_back(
            {NodeIndex(static_cast<uint32_t>(node)), 1e-5, network.nodes[node].elevation_m->value});
      continue;
    }
    const bool is_on = supply.demand_m3_per_s[node] > before.demand_m3_per_s[node];
    const double share = std::pow(10.0, -static_cast<double>(pick(4)));
    supply.demand_m3_per_s[node] = before.demand_m3_per_s[node] + (is_on ? 0 : share * most_m3_per_s);
  }
}

// May have more than one answer.
bool HasPressureValves(const Network& network) {
  return std::any_of(network.links.begin(), network.links.end(), [](const Link& link) {
    return link.kind == LinkKind::kReducing || link.kind == LinkKind::kSustaining;
  });
}

struct Followed {
  int all = 0, without_factor = 0;
};

// Answers one after another against answers from nothing.
void ExpectAsFromNothing(const Network& network, double most_m3_per_s, std::mt19937_64& random, int moments,
                         Followed& followed) {
  const Supply before = *SupplyAt(network, 0);
  auto solver = SteadySolver::Make(network);
  ASSERT_TRUE(solver.ok() && solver->Solve(before).ok());
  Supply supply = before;
  for (int moment = 0; moment < moments; ++moment) {
    Switch(network, before, most_m3_per_s, random, supply);
    const auto warm = solver->Solve(supply);
    const auto fresh = SolveSteady(network, supply);
    ASSERT_TRUE(warm.ok() && fresh.ok());
    const bool is_unique = !HasPressureValves(network);
    if (is_unique) {
      ASSERT_EQ((*warm)->summary.IsUsable(), fresh->summary.IsUsable())
          << (*warm)->summary.BriefReport(network) << " / " << fresh->summary.BriefReport(network);
    }
    if (!fresh->summary.IsUsable() || !(*warm)->summary.IsUsable()) continue;
    ++followed.all;
    followed.without_factor += (*warm)->summary.factorisations == 0;
    EXPECT_LT((*warm)->summary.mass_imbalance_m3_per_s, 2e-9);
    EXPECT_LT((*warm)->summary.energy_imbalance_m, 1e-6);
    if (!is_unique) continue;
    const std::vector<char> moves = NodesWhereWaterMoves(network, *fresh);
    for (size_t k = 0; k < network.nodes.size(); ++k) {
      if (moves[k] != 0) {
        ASSERT_NEAR((*warm)->head_m[k], fresh->head_m[k], 1e-5) << "moment " << moment;
      }
      ASSERT_NEAR((*warm)->outflow_m3_per_s[k], fresh->outflow_m3_per_s[k], 1e-6);
    }
    for (size_t k = 0; k < network.links.size(); ++k) {
      ASSERT_NEAR((*warm)->flow_m3_per_s[k], fresh->flow_m3_per_s[k], 1e-6)
          << "moment " << moment << " link " << k;
    }
  }
}

TEST(FollowedChange, AnswersAsFromNothingInLoopedTowns) {
  Followed followed;
  for (unsigned seed = 0; seed < 40; ++seed) {
    std::mt19937_64 random(4242 + seed);
    const HeadLoss law = seed % 4 == 3 ? HeadLoss::kDarcyWeisbach : HeadLoss::kHazenWilliams;
    const Network network = Town(6 + static_cast<int>(seed % 9), seed % 2 == 1, law, random);
    ExpectAsFromNothing(network, seed % 3 == 0 ? 1e-2 : 1e-3, random, 12, followed);
  }
  EXPECT_GT(followed.all, 400);
  EXPECT_GT(followed.without_factor, followed.all / 4);
}

TEST(FollowedChange, AnswersAsFromNothingInSmallNetworksOfEveryKind) {
  Followed followed;
  for (unsigned seed = 0; seed < 500; ++seed) {
    std::mt19937_64 random(977 + seed);
    Network network = RandomNetwork(random).Make(4 + static_cast<int>(seed % 12));
    ExpectAsFromNothing(network, 5e-3, random, 6, followed);
  }
  EXPECT_GT(followed.all, 500);
}

// What following leaves over must not add up.
TEST(FollowedChange, KeepsMassHoweverOftenADeviceComesAndGoes) {
  std::mt19937_64 random(7);
  const Network network = Town(14, false, HeadLoss::kHazenWilliams, random);
  const Supply before = *SupplyAt(network, 0);
  Supply on = before;
  on.demand_m3_per_s[100] += 3e-5;
  auto solver = SteadySolver::Make(network);
  ASSERT_TRUE(solver.ok());
  double worst = 0;
  for (int i = 0; i < 3000; ++i) {
    const auto state = solver->Solve(i % 2 == 0 ? before : on);
    ASSERT_TRUE(state.ok() && (*state)->summary.IsUsable());
    worst = std::max(worst, (*state)->summary.mass_imbalance_m3_per_s);
  }
  EXPECT_LT(worst, 2e-9);
}

TEST(FollowedChange, NeedsNoFactorWhereADeviceIsSmall) {
  std::mt19937_64 random(11);
  const Network network = Town(20, false, HeadLoss::kHazenWilliams, random);
  Supply supply = *SupplyAt(network, 0);
  auto solver = SteadySolver::Make(network);
  ASSERT_TRUE(solver.ok() && solver->Solve(supply).ok());
  for (size_t node = 0; node < network.nodes.size(); node += 17) {
    if (IsFeeder(network.nodes[node])) continue;
    supply.demand_m3_per_s[node] += 1e-5;
    const auto state = solver->Solve(supply);
    ASSERT_TRUE(state.ok() && (*state)->summary.IsUsable());
    EXPECT_EQ((*state)->summary.prepare_s, 0);
    EXPECT_LE((*state)->summary.factorisations, 1);
  }
}

struct Neared {
  int all = 0, near = 0;
};

// Near answers one after another, each no further from one from nothing than it says, and what the core says
// is missing against a check of the whole answer.
void ExpectWithinTheirBounds(const Network& network, double allowed_m, double most_m3_per_s,
                             std::mt19937_64& random, int moments, Neared& neared) {
  const Supply before = *SupplyAt(network, 0);
  CoreOptions options;
  options.followed_head_error_m = allowed_m;
  auto solver = SteadySolver::Make(network, options);
  ASSERT_TRUE(solver.ok() && solver->Solve(before).ok());
  const NetworkShape shape(network);
  Supply supply = before;
  for (int moment = 0; moment < moments; ++moment) {
    Switch(network, before, most_m3_per_s, random, supply);
    const auto near = solver->Solve(supply);
    const auto fresh = SolveSteady(network, supply);
    ASSERT_TRUE(near.ok() && fresh.ok());
    const SteadySummary& summary = (*near)->summary;
    if (HasPressureValves(network) || !fresh->summary.IsUsable() || !summary.IsUsable()) continue;
    ++neared.all;
    if (summary.head_error_bound_m < 0) continue;
    ++neared.near;
    ASSERT_LE(summary.head_error_bound_m, allowed_m);
    const Imbalance whole = ImbalanceOf(shape, supply, **near);
    EXPECT_LT(whole.mass_m3_per_s, 1e-8);
    EXPECT_LE(whole.mass_m3_per_s, summary.mass_imbalance_m3_per_s + 1e-9);
    EXPECT_LE(whole.energy_m, summary.energy_imbalance_m + 1e-7);
    // The answer from nothing has its own tolerance.
    const double bound_m = summary.head_error_bound_m + 1e-5;
    const std::vector<char> moves = NodesWhereWaterMoves(network, *fresh);
    for (size_t k = 0; k < network.nodes.size(); ++k) {
      if (moves[k] == 0) continue;
      ASSERT_NEAR((*near)->head_m[k], fresh->head_m[k], bound_m) << "moment " << moment << " node " << k;
    }
  }
}

TEST(NearAnswer, IsWithinItsBoundInLoopedTowns) {
  Neared neared;
  for (unsigned seed = 0; seed < 60; ++seed) {
    std::mt19937_64 random(515 + seed);
    const HeadLoss law = seed % 4 == 3 ? HeadLoss::kDarcyWeisbach : HeadLoss::kHazenWilliams;
    const Network network = Town(6 + static_cast<int>(seed % 9), seed % 2 == 1, law, random);
    const double allowed_m = std::pow(10.0, -static_cast<double>(seed % 3) - 1);
    ExpectWithinTheirBounds(network, allowed_m, seed % 5 == 0 ? 1e-2 : 1e-3, random, 12, neared);
  }
  EXPECT_GT(neared.all, 600);
  EXPECT_GT(neared.near, neared.all / 4);
}

TEST(NearAnswer, IsWithinItsBoundInSmallNetworksOfEveryKind) {
  Neared neared;
  for (unsigned seed = 0; seed < 400; ++seed) {
    std::mt19937_64 random(31 + seed);
    const Network network = RandomNetwork(random).Make(4 + static_cast<int>(seed % 12));
    ExpectWithinTheirBounds(network, 0.05, 1e-3, random, 6, neared);
  }
  EXPECT_GT(neared.near, 100);
}

// A device that comes and goes is answered without a factor, and nothing adds up.
TEST(NearAnswer, KeepsMassAndFactorHoweverOftenADeviceComesAndGoes) {
  std::mt19937_64 random(7);
  const Network network = Town(14, false, HeadLoss::kHazenWilliams, random);
  const Supply before = *SupplyAt(network, 0);
  Supply on = before;
  on.demand_m3_per_s[100] += 3e-4;
  CoreOptions options;
  options.followed_head_error_m = 0.05;
  auto solver = SteadySolver::Make(network, options);
  ASSERT_TRUE(solver.ok() && solver->Solve(before).ok());
  for (int i = 0; i < 3000; ++i) {
    const auto state = solver->Solve(i % 2 == 0 ? on : before);
    ASSERT_TRUE(state.ok() && (*state)->summary.IsUsable());
    ASSERT_LT((*state)->summary.mass_imbalance_m3_per_s, 2e-9);
    ASSERT_GE((*state)->summary.head_error_bound_m, 0);
    ASSERT_EQ((*state)->summary.factorisations, 0);
  }
}

TEST(NearAnswer, IsGivenOnlyWhereAskedFor) {
  std::mt19937_64 random(11);
  const Network network = Town(10, false, HeadLoss::kHazenWilliams, random);
  Supply supply = *SupplyAt(network, 0);
  auto solver = SteadySolver::Make(network);
  ASSERT_TRUE(solver.ok() && solver->Solve(supply).ok());
  supply.demand_m3_per_s[50] += 1e-5;
  const auto state = solver->Solve(supply);
  ASSERT_TRUE(state.ok() && (*state)->summary.IsUsable());
  EXPECT_LT((*state)->summary.head_error_bound_m, 0);
}

}  // namespace
}  // namespace lastreach
