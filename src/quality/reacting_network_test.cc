#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <vector>

#include "core/quantity.h"
#include "quality/flow_script.h"
#include "quality/kinetics.h"
#include "quality/network_transport.h"
#include "quality/reactants.h"

// Chlorine beside two reactants over a network, against React along the way of the water.
namespace lastreach {
namespace {

constexpr double kHour = 3600;

constexpr TwoReactants kWater{.fast_l_per_mg_per_day = 12,
                              .slow_l_per_mg_per_day = 0.24,
                              .fast_mg_per_l = 0.5,
                              .slow_mg_per_l = 1.5,
                              .thm_ug_per_mg = 40,
                              .thm_ug_per_l = 5};
constexpr TwoReactantLaw kLaw{
    .fast_l_per_mg_per_s = 12 / 86400.0, .slow_l_per_mg_per_s = 0.24 / 86400.0, .thm_ug_per_mg = 40};
constexpr ReactingWater kEntering{
    .chlorine_mg_per_l = 2, .fast_mg_per_l = 0.5, .slow_mg_per_l = 1.5, .thm_ug_per_l = 5};

NetworkTransport MakeTransport(const Network& network, const NetworkQualityOptions& options = {}) {
  Result<NetworkTransport> made = NetworkTransport::Make(network, options);
  EXPECT_TRUE(made.ok());
  return std::move(*made);
}

ReactingWater ReadWater(const NetworkTransport& transport, NodeIndex node, const Network& network) {
  return {.chlorine_mg_per_l = ReadAt(transport, Quantity::kChlorine, node, network),
          .fast_mg_per_l = ReadAt(transport, Quantity::kFastReactant, node, network),
          .slow_mg_per_l = ReadAt(transport, Quantity::kSlowReactant, node, network),
          .thm_ug_per_l = ReadAt(transport, Quantity::kThm, node, network)};
}

void ExpectWater(const ReactingWater& ours, const ReactingWater& expected, double within_mg_per_l) {
  EXPECT_NEAR(ours.chlorine_mg_per_l, expected.chlorine_mg_per_l, within_mg_per_l);
  EXPECT_NEAR(ours.fast_mg_per_l, expected.fast_mg_per_l, within_mg_per_l);
  EXPECT_NEAR(ours.slow_mg_per_l, expected.slow_mg_per_l, within_mg_per_l);
  EXPECT_NEAR(ours.thm_ug_per_l, expected.thm_ug_per_l, 60 * within_mg_per_l);
}

TEST(ReactingNetwork, AlongOnePipeIsTheReactionOverItsTravelTime) {
  ScriptedNetwork town;
  const NodeIndex source = town.AddSource(2);
  const NodeIndex middle = town.AddNode();
  const NodeIndex end = town.AddNode();
  town.AddPipe(source, middle, 7.2);
  town.AddPipe(middle, end, 36);
  town.network.options.two_reactants = kWater;
  NetworkTransport transport = MakeTransport(town.network);
  EXPECT_TRUE(transport.Carries(Quantity::kThm));
  FlowScript script(town.network);
  for (int i = 0; i < 15; ++i) ASSERT_TRUE(transport.Advance(script.Next(kHour, {1e-3, 1e-3})).ok());
  ExpectWater(ReadWater(transport, middle, town.network), React(kLaw, kEntering, 0, 2 * kHour), 1e-9);
  ExpectWater(ReadWater(transport, end, town.network), React(kLaw, kEntering, 0, 12 * kHour), 1e-9);
  EXPECT_NEAR(ReadAt(transport, Quantity::kAge, end, town.network), 12 * kHour, 1e-6);
  const SpanStatistics thm = transport.Span(Quantity::kThm);
  EXPECT_NEAR(thm.greatest[At(end)], React(kLaw, kEntering, 0, 12 * kHour).thm_ug_per_l, 1e-6);
}

TEST(ReactingNetwork, TheWallTakesWhatItTakesInOnePipe) {
  ScriptedNetwork town;
  const NodeIndex source = town.AddSource(2);
  const NodeIndex end = town.AddNode();
  const LinkIndex pipe = town.AddPipe(source, end, 7.2);
  town.network.options.two_reactants = kWater;
  town.network.options.wall_m_per_day = 0.3;
  town.network.options.bulk_per_day = 5;  // not in use beside reactants
  NetworkTransport transport = MakeTransport(town.network);
  FlowScript script(town.network);
  for (int i = 0; i < 4; ++i) ASSERT_TRUE(transport.Advance(script.Next(kHour, {1e-3})).ok());
  const Link& link = town.network.links[At(pipe)];
  const double wall =
      FlowingWallRate_per_s(link.length_m.value, link.inner_diameter_m->value, 1e-3, 0.3 / kSecondsPerDay,
                            {.viscosity_m2_per_s = town.network.options.viscosity_m2_per_s});
  EXPECT_GT(wall * 2 * kHour, 0.01);
  ExpectWater(ReadWater(transport, end, town.network), React(kLaw, kEntering, wall, 2 * kHour), 1e-9);
}

TEST(ReactingNetwork, StreamsOfUnlikeAgeMixByFlowAndGoOnReacting) {
  ScriptedNetwork town;
  const NodeIndex a = town.AddSource(2);
  const NodeIndex b = town.AddSource(0.5);
  const NodeIndex middle = town.AddNode();
  const NodeIndex end = town.AddNode();
  town.AddPipe(a, middle, 3.6);
  town.AddPipe(b, middle, 54);
  town.AddPipe(middle, end, 43.2);
  town.network.options.two_reactants = kWater;
  NetworkTransport transport = MakeTransport(town.network);
  FlowScript script(town.network);
  for (int i = 0; i < 12; ++i) {
    ASSERT_TRUE(transport.Advance(script.Next(kHour, {1e-3, 3e-3, 4e-3})).ok());
  }
  ReactingWater weak = kEntering;
  weak.chlorine_mg_per_l = 0.5;
  const std::vector<ReactingWater> streams{React(kLaw, kEntering, 0, kHour), React(kLaw, weak, 0, 5 * kHour)};
  const ReactingWater mixed = MixStreams(streams, std::vector<double>{1, 3});
  ExpectWater(ReadWater(transport, middle, town.network), mixed, 1e-9);
  ExpectWater(ReadWater(transport, end, town.network), React(kLaw, mixed, 0, 3 * kHour), 1e-9);
}

TEST(ReactingNetwork, WaterThatStandsOrComesBackHasReactedAllTheWhile) {
  ScriptedNetwork town;
  const NodeIndex source = town.AddSource(2);
  const NodeIndex end = town.AddNode();
  town.AddPipe(source, end, 3.6);
  town.network.options.two_reactants = kWater;
  NetworkTransport transport = MakeTransport(town.network);
  FlowScript script(town.network);
  ASSERT_TRUE(transport.Advance(script.Next(2 * kHour, {1e-3})).ok());
  ASSERT_TRUE(transport.Advance(script.Next(7 * kHour, {0})).ok());
  ExpectWater(ReadWater(transport, end, town.network), React(kLaw, kEntering, 0, 8 * kHour), 1e-9);
  ASSERT_TRUE(transport.Advance(script.Next(0.5 * kHour, {1e-3})).ok());
  ExpectWater(ReadWater(transport, end, town.network), React(kLaw, kEntering, 0, 8 * kHour), 1e-9);
}

// dX/dt = (X_in - X) Q / V + reaction: the steady state makes both sides 0.
TEST(ReactingNetwork, OfAMixedTankTheSteadyStateBalances) {
  ScriptedNetwork town;
  const NodeIndex source = town.AddSource(2);
  const NodeIndex tank = town.AddTank(TankMixing::kMixed);
  const NodeIndex end = town.AddNode();
  town.AddValve(source, tank);
  town.AddValve(tank, end);
  town.network.options.two_reactants = kWater;
  NetworkTransport transport = MakeTransport(town.network);
  FlowScript script(town.network);
  script.SetTank(tank, 100);
  const double turnover_s = 100 / 2e-3;
  for (int i = 0; i < 400; ++i) ASSERT_TRUE(transport.Advance(script.Next(kHour, {2e-3, 2e-3})).ok());
  const ReactingWater w = ReadWater(transport, end, town.network);
  const double fast = kLaw.fast_l_per_mg_per_s * w.fast_mg_per_l * w.chlorine_mg_per_l * turnover_s;
  const double slow = kLaw.slow_l_per_mg_per_s * w.slow_mg_per_l * w.chlorine_mg_per_l * turnover_s;
  EXPECT_NEAR(0.5 - w.fast_mg_per_l, fast, 1e-3);
  EXPECT_NEAR(1.5 - w.slow_mg_per_l, slow, 1e-3);
  EXPECT_NEAR(2 - w.chlorine_mg_per_l, fast + slow, 1e-3);
  EXPECT_NEAR(w.thm_ug_per_l, 5 + 40 * (fast + slow), 0.05);
}

// Parcels that enter a chain of pipes under flows that change, each followed by React over its stays: the
// network's answer at the end, with fronts of unlike stays carried through, is theirs within the bound.
TEST(ReactingNetwork, UnderChangingFlowsIsWhatFollowedParcelsCarry) {
  std::mt19937_64 random(11);
  for (int round = 0; round < 20; ++round) {
    SCOPED_TRACE(round);
    ScriptedNetwork town;
    const NodeIndex source = town.AddSource(2);
    const NodeIndex middle = town.AddNode();
    const NodeIndex end = town.AddNode();
    town.AddPipe(source, middle, 5);
    town.AddPipe(middle, end, 8);
    town.network.options.two_reactants = kWater;
    NetworkTransport transport = MakeTransport(town.network);
    FlowScript script(town.network);
    // Volumes passed by the end of each hour; both pipes carry the same flow, so that a parcel at the end now
    // entered 13 m3 ago.
    std::vector<double> passed{0};
    for (int hour = 0; hour < 30; ++hour) {
      const double flow = random() % 4 == 0 ? 0 : 2e-4 * static_cast<double>(1 + random() % 10);
      passed.push_back(passed.back() + flow * kHour);
      ASSERT_TRUE(transport.Advance(script.Next(kHour, {flow, flow})).ok());
    }
    const double entered_m3 = passed.back() - 13;
    if (entered_m3 <= 0) continue;
    std::size_t i = 0;
    while (passed[i + 1] < entered_m3) ++i;
    const double entered_h = static_cast<double>(i) + (entered_m3 - passed[i]) / (passed[i + 1] - passed[i]);
    const ReactingWater expected = React(kLaw, kEntering, 0, (30 - entered_h) * kHour);
    const double bound = transport.worst_error(Quantity::kChlorine);
    EXPECT_LT(bound, 0.02);
    ExpectWater(ReadWater(transport, end, town.network), expected, bound + 1e-9);
    EXPECT_LE(std::abs(ReadAt(transport, Quantity::kThm, end, town.network) - expected.thm_ug_per_l),
              transport.worst_error(Quantity::kThm) + 1e-7);
  }
}

// Beside so much of one reactant that none of it is missed, the loss is of first order: the engine of first
// order must say the same, through loops, turning flows, water put in and both kinds of tank.
TEST(ReactingNetwork, BesideAnEndlessReactantIsTheNetworkOfFirstOrder) {
  constexpr double kPerDay = 1.2;
  constexpr double kEndless_mg_per_l = 1e6;
  std::mt19937_64 random(12);
  std::size_t judged = 0;
  for (int round = 0; round < 12; ++round) {
    SCOPED_TRACE(round);
    ScriptedNetwork town;
    std::vector<NodeIndex> nodes{town.AddSource(1.5), town.AddSource(0.6)};
    for (int i = 0; i < 6; ++i) nodes.push_back(town.AddNode());
    nodes.push_back(town.AddTank(TankMixing::kMixed));
    nodes.push_back(town.AddTank(TankMixing::kFirstInFirstOut));
    for (std::size_t i = 1; i < nodes.size(); ++i) {
      town.AddPipe(nodes[random() % i], nodes[i], 1 + static_cast<double>(random() % 10));
    }
    for (int i = 0; i < 4; ++i) {
      town.AddPipe(nodes[random() % 8], nodes[random() % 8], 1 + static_cast<double>(random() % 10));
    }
    town.network.options.wall_m_per_day = 0.1;
    Network beside = town.network;
    town.network.options.bulk_per_day = kPerDay;
    beside.options.two_reactants = {.slow_l_per_mg_per_day = kPerDay / kEndless_mg_per_l,
                                    .slow_mg_per_l = kEndless_mg_per_l};
    NetworkTransport plain =
        MakeTransport(town.network, {.tolerance = 5e-4, .initial_chlorine_mg_per_l = 0.2});
    NetworkTransport reacting = MakeTransport(beside, {.tolerance = 5e-4, .initial_chlorine_mg_per_l = 0.2});
    FlowScript script(town.network);
    script.SetTank(nodes[8], 500);
    script.SetTank(nodes[9], 300);
    std::vector<double> flow(town.network.links.size());
    for (int hour = 0; hour < 40; ++hour) {
      for (double& one : flow) {
        if (random() % 3 == 0) one = 2e-4 * (static_cast<double>(random() % 21) - 10);
      }
      const FlowPeriod period = script.Next(kHour, flow);
      ASSERT_TRUE(plain.Advance(period).ok());
      ASSERT_TRUE(reacting.Advance(period).ok());
      for (const NodeIndex node : nodes) {
        const double first_order = ReadAt(plain, Quantity::kChlorine, node, town.network);
        const double ours = ReadAt(reacting, Quantity::kChlorine, node, beside);
        const double within = plain.worst_error(Quantity::kChlorine) * first_order +
                              reacting.worst_error(Quantity::kChlorine) + 1e-4;
        ASSERT_NEAR(ours, first_order, within) << "hour " << hour << " node " << At(node);
        if (within < 0.02 && first_order > 0.1) ++judged;
      }
    }
    EXPECT_LT(plain.worst_error(Quantity::kChlorine), 2e-2);
    EXPECT_LT(reacting.worst_error(Quantity::kChlorine), 5e-3);
  }
  EXPECT_GT(judged, 2000U);
}

}  // namespace
}  // namespace lastreach
