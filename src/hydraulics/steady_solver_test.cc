#include "hydraulics/steady_solver.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "hydraulics/random_networks.h"

namespace lastreach {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;

bool HasPressureValves(const Network& network) {
  return std::any_of(network.links.begin(), network.links.end(), [](const Link& link) {
    return link.kind == LinkKind::kReducing || link.kind == LinkKind::kSustaining;
  });
}

// Demands up and down, links shut, openings and gates of tanks, as they come.
Supply AnyMoment(const Network& network, std::mt19937_64& random) {
  const auto pick = [&](int below) { return std::uniform_int_distribution<int>(0, below - 1)(random); };
  Supply supply = *SupplyAt(network, 0);
  for (double& demand : supply.demand_m3_per_s) demand *= 0.2 * pick(9);
  if (pick(2)) supply.shut.assign(network.links.size(), 0);
  for (char& shut : supply.shut) shut = pick(8) == 0;
  for (uint32_t i = 0; i < network.nodes.size(); ++i) {
    if (pick(8) == 0) supply.openings.push_back({NodeIndex(i), 0.001 * (1 + pick(5)), 10.0 * pick(4)});
    if (supply.tank_gate.empty() && pick(6) == 0) supply.tank_gate.resize(network.nodes.size());
  }
  for (TankGate& gate : supply.tank_gate) gate = static_cast<TankGate>(pick(4));
  return supply;
}

void ExpectSame(const Network& network, const SteadyState& a, const SteadyState& b, const char* what) {
  const std::vector<char> moves = NodesWhereWaterMoves(network, b);
  for (size_t k = 0; k < network.nodes.size(); ++k) {
    EXPECT_EQ(std::isnan(a.head_m[k]), std::isnan(b.head_m[k])) << what;
    if (moves[k]) {
      EXPECT_NEAR(a.head_m[k], b.head_m[k], 1e-5) << what << " node " << k;
    }
    EXPECT_NEAR(a.outflow_m3_per_s[k], b.outflow_m3_per_s[k], 1e-6) << what << " node " << k;
  }
  for (size_t k = 0; k < network.links.size(); ++k) {
    EXPECT_NEAR(a.flow_m3_per_s[k], b.flow_m3_per_s[k], 1e-6) << what << " link " << k;
  }
}

TEST(SteadySolver, FromWhateverWentBeforeAnswersAsFromNothing) {
  int compared = 0, failed_warm = 0, failed_flat = 0;
  for (unsigned i = 0; i < 150; ++i) {
    std::mt19937_64 random(4711 + i);
    Network network = RandomNetwork(random).Make(4 + i % 12);
    for (size_t k = 2; k < network.nodes.size(); k += 5) {
      network.nodes[k].kind = NodeKind::kTank;
      network.nodes[k].tank = TankShape{10, 40.0 + static_cast<double>(i % 17), 0, 70};
    }
    if (i % 3 == 0) network.options.short_pressure = ShortPressure{5, 30.0 + 5 * (i % 5)};
    auto solver = SteadySolver::Make(network);
    ASSERT_TRUE(solver.ok());
    for (int moment = 0; moment < 6; ++moment) {
      const Supply supply = AnyMoment(network, random);
      const auto fresh = SolveSteady(network, supply);
      const auto warm = solver->Solve(supply);
      ASSERT_TRUE(fresh.ok() && warm.ok());
      const bool flat_has = fresh->summary.IsUsable(), warm_has = (*warm)->summary.IsUsable();
      failed_flat += warm_has && !flat_has;
      failed_warm += flat_has && !warm_has;
      EXPECT_TRUE(flat_has == warm_has || HasPressureValves(network))
          << "network " << i << " moment " << moment;
      if (!flat_has || !warm_has) continue;
      EXPECT_LT((*warm)->summary.mass_imbalance_m3_per_s, 1e-7);
      EXPECT_LT((*warm)->summary.energy_imbalance_m, 1e-6);
      if (HasPressureValves(network)) continue;
      ++compared;
      ExpectSame(network, **warm, *fresh, ("network " + std::to_string(i)).c_str());
    }
  }
  EXPECT_GT(compared, 200);
  RecordProperty("compared", compared);
  RecordProperty("only_flat_converged", failed_warm);
  RecordProperty("only_warm_converged", failed_flat);
}

struct TankTown {
  Hand hand;
  NodeIndex source, tank, end;
  explicit TankTown(double level_m) {
    source = hand.Source(50);
    tank = hand.Junction(30, 0);
    hand.network[tank].kind = NodeKind::kTank;
    hand.network[tank].tank = TankShape{10, level_m, 0, 40};
    end = hand.Junction(0, 0.01);
    hand.Pipe(source, end, 500, 0.15);
    hand.Pipe(end, tank, 500, 0.15);
  }
};

TEST(SteadySolver, HoldsAFullTankToGivingAndAnEmptyOneToFilling) {
  for (const double level_m : {5.0, 35.0}) {  // would fill; would give
    TankTown town(level_m);
    auto solver = SteadySolver::Make(town.hand.network);
    Supply supply = *SupplyAt(town.hand.network, 0);
    supply.tank_gate.assign(3, TankGate::kFree);
    const double takes = (*solver->Solve(supply))->outflow_m3_per_s[1];
    EXPECT_EQ(takes > 0, level_m < 20);
    for (const TankGate gate : {TankGate::kOnlyFills, TankGate::kOnlyGives, TankGate::kShut}) {
      supply.tank_gate[1] = gate;
      const auto state = solver->Solve(supply);
      ASSERT_TRUE((*state)->summary.IsUsable());
      const bool passes = gate == (takes > 0 ? TankGate::kOnlyFills : TankGate::kOnlyGives);
      EXPECT_NEAR((*state)->outflow_m3_per_s[1], passes ? takes : 0, 1e-9);
      EXPECT_LT((*state)->summary.energy_imbalance_m, 1e-7);
      // At its pipes stands what the network gives there.
      if (!passes) {
        EXPECT_NEAR((*state)->head_m[1], (*state)->head_m[2], 1e-7);
      }
      if (passes) {
        EXPECT_EQ((*state)->head_m[1], 30 + level_m);
      }
    }
  }
}

TEST(SteadySolver, NamesWhatAnEmptyTankOrAShutLinkLeavesDry) {
  TankTown town(5);
  town.hand.network.links[0].kind = LinkKind::kClosed;
  auto solver = SteadySolver::Make(town.hand.network);
  Supply supply = *SupplyAt(town.hand.network, 0);
  EXPECT_TRUE((*solver->Solve(supply))->summary.IsUsable());
  supply.tank_gate = {TankGate::kFree, TankGate::kOnlyFills, TankGate::kFree};
  EXPECT_THAT((*solver->Solve(supply))->summary.not_fed, ElementsAre(town.tank, town.end));
  supply.tank_gate.clear();
  supply.shut = {0, 1};
  const auto state = solver->Solve(supply);
  EXPECT_THAT((*state)->summary.not_fed, ElementsAre(town.end));
  EXPECT_EQ((*state)->flow_m3_per_s[1], 0);
  supply.shut.clear();
  EXPECT_NEAR((*solver->Solve(supply))->flow_m3_per_s[1], -0.01, 1e-9);
}

TEST(SteadySolver, WorksOutWhatPipesAloneDecideOnce) {
  TankTown town(5);
  auto solver = SteadySolver::Make(town.hand.network);
  Supply supply = *SupplyAt(town.hand.network, 0);
  EXPECT_GT((*solver->Solve(supply))->summary.prepare_s, 0);
  supply.demand_m3_per_s[2] *= 1.1;
  EXPECT_EQ((*solver->Solve(supply))->summary.prepare_s, 0);
  EXPECT_EQ((*solver->Solve(supply))->summary.symbolic_s, 0);
}

TEST(Leak, AlwaysLetsOutWhatThePressureDrives) {
  Hand hand;
  const NodeIndex source = hand.Source(60), a = hand.Junction(10, 0.001), end = hand.Junction(10, 0);
  hand.Pipe(source, a, 1000, 0.1);
  hand.Pipe(a, end, 1000, 0.1);
  hand.network[end].leak = Leak{0.01, 0.6};
  const auto state = SolveSteady(hand.network);
  ASSERT_TRUE(state.ok() && state->summary.IsUsable());
  const double expected = 0.6 * M_PI / 4 * 1e-4 * std::sqrt(2 * 9.80665 * (state->head_m[2] - 10));
  EXPECT_NEAR(state->outflow_m3_per_s[2], expected, 1e-10);
  EXPECT_NEAR(state->flow_m3_per_s[1], expected, 1e-10);
  EXPECT_NEAR(state->flow_m3_per_s[0], expected + 0.001, 1e-10);
  hand.network[end].elevation_m.reset();
  EXPECT_THAT(SolveSteady(hand.network).error().ToString(),
              HasSubstr("'N2' has an opening but no elevation"));
}

// One node on one pipe: d sqrt((H - none)/(full - none)) is drawn, found here by halving.
TEST(ShortPressure, DrawsWhatWagnersCurveGivesAtThePressureFound) {
  for (const double source_m : {3.0, 12.0, 25.0, 80.0}) {
    Hand hand;
    const NodeIndex source = hand.Source(source_m), a = hand.Junction(0, 0.02);
    const NodeIndex put_in = hand.Junction(0, -0.001);
    hand.Pipe(source, a, 500, 0.15);
    hand.Pipe(a, put_in, 500, 0.15);
    hand.network.options.short_pressure = ShortPressure{5, 20};
    const auto state = SolveSteady(hand.network);
    ASSERT_TRUE(state.ok() && state->summary.IsUsable());
    const auto drawn = [](double head_m) {
      return 0.02 * std::sqrt(std::clamp((head_m - 5) / 15, 0.0, 1.0));
    };
    double low = -100, high = source_m + 1;
    for (int i = 0; i < 200; ++i) {
      const double head_m = (low + high) / 2, flow = drawn(head_m) - 0.001;
      const double lost_m = std::copysign(
          10.667 * 500 * std::pow(std::abs(flow), 1.852) / (std::pow(120, 1.852) * std::pow(0.15, 4.871)),
          flow);
      (source_m - lost_m > head_m ? low : high) = head_m;
    }
    EXPECT_NEAR(state->head_m[1], low, 1e-6) << source_m;
    EXPECT_NEAR(state->outflow_m3_per_s[1], drawn(low), 1e-8) << source_m;
    EXPECT_NEAR(state->outflow_m3_per_s[2], -0.001, 1e-15);
  }
}

TEST(ShortPressure, LetsALimitedZoneShareWhatItGets) {
  Hand hand;
  const NodeIndex source = hand.Source(60), a = hand.Junction(0, 0.01);
  hand.Valve(LinkKind::kLimiting, source, a, 0.004);
  hand.network.options.short_pressure = ShortPressure{0, 20};
  const auto state = SolveSteady(hand.network);
  ASSERT_TRUE(state.ok() && state->summary.IsUsable()) << state->summary.BriefReport(hand.network);
  EXPECT_NEAR(state->outflow_m3_per_s[1], 0.004, 1e-11);
  EXPECT_NEAR(state->head_m[1], 20 * 0.4 * 0.4, 1e-6);
}

TEST(ShortPressure, NeedsAnElevationWhereSomethingIsDrawn) {
  Hand hand;
  const NodeIndex source = hand.Source(60), a = hand.Junction(0, 0.01);
  hand.Pipe(source, a, 500, 0.15);
  hand.network[a].elevation_m.reset();
  hand.network.options.short_pressure = ShortPressure{0, 20};
  EXPECT_THAT(SolveSteady(hand.network).error().ToString(),
              HasSubstr("'N1' has no elevation, and its demand falls with pressure"));
}

}  // namespace
}  // namespace lastreach
