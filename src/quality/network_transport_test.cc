#include "quality/network_transport.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "hydraulics/flow_simulation.h"
#include "quality/flow_script.h"

namespace lastreach {
namespace {

constexpr double kHour = 3600;
constexpr double kDay = 86400;

NetworkTransport MakeTransport(const Network& network, const NetworkQualityOptions& options = {}) {
  Result<NetworkTransport> made = NetworkTransport::Make(network, options);
  EXPECT_TRUE(made.ok());
  return std::move(*made);
}

double Age_h(const NetworkTransport& transport, NodeIndex node, const Network& network) {
  return ReadAt(transport, Quantity::kAge, node, network) / kHour;
}
double Chlorine(const NetworkTransport& transport, NodeIndex node, const Network& network) {
  return ReadAt(transport, Quantity::kChlorine, node, network);
}

void ExpectAccountCloses(const NetworkTransport& transport) {
  const NetworkMassAccount account = transport.Account();
  EXPECT_NEAR(account.imbalance_g(), 0, 1e-9 * (account.entered_g + account.held_at_start_g));
}

// 7.2 m3 at 1 L/s take two hours: the age at the end, and the residual by the exponential of it.
TEST(NetworkTransport, OfOnePipeIsItsTravelTime) {
  ScriptedNetwork town;
  const NodeIndex source = town.AddSource(1);
  const NodeIndex end = town.AddNode();
  town.AddPipe(source, end, 7.2);
  town.network.options.bulk_per_day = 0.5;
  NetworkTransport transport = MakeTransport(town.network);
  FlowScript script(town.network);
  ASSERT_TRUE(transport.Advance(script.Next(kHour, {1e-3})).ok());
  EXPECT_NEAR(Age_h(transport, end, town.network), 1, 1e-9);
  EXPECT_EQ(Chlorine(transport, end, town.network), 0);
  ASSERT_TRUE(transport.Advance(script.Next(3 * kHour, {1e-3})).ok());
  EXPECT_NEAR(Age_h(transport, end, town.network), 2, 1e-9);
  EXPECT_NEAR(Chlorine(transport, end, town.network), std::exp(-0.5 * 2 / 24), 1e-12);
  EXPECT_EQ(transport.worst_error(Quantity::kAge), 0);
  ExpectAccountCloses(transport);
}

// Water pushed into a pipe and drawn back is the same water, older, and lies the same way round.
TEST(NetworkTransport, ReturnsTheSameWaterWhenTheFlowTurns) {
  ScriptedNetwork town;
  const NodeIndex left = town.AddSource(1);
  const NodeIndex middle = town.AddNode();
  const NodeIndex right = town.AddSource(0.25);
  town.AddPipe(left, middle, 3.6);
  town.AddPipe(middle, right, 3.6);
  NetworkTransport transport = MakeTransport(town.network, {.source = left});
  FlowScript script(town.network);
  ASSERT_TRUE(transport.Advance(script.Next(1.5 * kHour, {1e-3, 1e-3})).ok());
  EXPECT_NEAR(Age_h(transport, middle, town.network), 1, 1e-9);
  EXPECT_NEAR(ReadAt(transport, Quantity::kSourceShare, middle, town.network), 1, 1e-12);
  EXPECT_NEAR(Age_h(transport, right, town.network), 0, 1e-9);
  // Back by half an hour: what stands in the middle left the source an hour and a half before it came back.
  ASSERT_TRUE(transport.Advance(script.Next(0.25 * kHour, {-1e-3, -1e-3})).ok());
  EXPECT_NEAR(Age_h(transport, middle, town.network), 1.5, 1e-9);
  ASSERT_TRUE(transport.Advance(script.Next(0.2499 * kHour, {-1e-3, -1e-3})).ok());
  EXPECT_NEAR(Age_h(transport, middle, town.network), 1 + 2 * 0.4999, 1e-3);
  ASSERT_TRUE(transport.Advance(script.Next(1.5 * kHour, {-1e-3, -1e-3})).ok());
  EXPECT_NEAR(ReadAt(transport, Quantity::kSourceShare, middle, town.network), 0, 1e-12);
  EXPECT_NEAR(Chlorine(transport, middle, town.network), 0.25, 1e-12);
  ExpectAccountCloses(transport);
}

// 1 L/s of 1 mg/L an hour old and 3 L/s of 0.2 mg/L two hours old.
TEST(NetworkTransport, MixesByFlow) {
  ScriptedNetwork town;
  const NodeIndex a = town.AddSource(1);
  const NodeIndex b = town.AddSource(0.2);
  const NodeIndex middle = town.AddNode();
  const NodeIndex end = town.AddNode();
  town.AddPipe(a, middle, 3.6);
  town.AddPipe(b, middle, 21.6);
  town.AddPipe(middle, end, 14.4);
  NetworkTransport transport = MakeTransport(town.network, {.source = b});
  FlowScript script(town.network);
  for (int i = 0; i < 5; ++i) {
    ASSERT_TRUE(transport.Advance(script.Next(kHour, {1e-3, 3e-3, 4e-3})).ok());
  }
  EXPECT_NEAR(Age_h(transport, end, town.network), (1 + 3 * 2) / 4.0 + 1, 1e-9);
  EXPECT_NEAR(Chlorine(transport, end, town.network), (1 + 3 * 0.2) / 4, 1e-12);
  EXPECT_NEAR(ReadAt(transport, Quantity::kSourceShare, end, town.network), 0.75, 1e-12);
  ExpectAccountCloses(transport);
}

// Still water ages, and loses at the bulk rate; the statistics see its lowest at the end.
TEST(NetworkTransport, AgesWaterThatStands) {
  ScriptedNetwork town;
  const NodeIndex source = town.AddSource(0.8);
  const NodeIndex end = town.AddNode();
  town.AddPipe(source, end, 3.6);
  town.network.options.bulk_per_day = 1;
  NetworkTransport transport = MakeTransport(town.network);
  FlowScript script(town.network);
  ASSERT_TRUE(transport.Advance(script.Next(2 * kHour, {1e-3})).ok());
  transport.BeginSpan();
  ASSERT_TRUE(transport.Advance(script.Next(10 * kHour, {0})).ok());
  EXPECT_NEAR(Age_h(transport, end, town.network), 11, 1e-9);
  const double left = 0.8 * std::exp(-11.0 / 24);
  EXPECT_NEAR(Chlorine(transport, end, town.network), left, 1e-12);
  const SpanStatistics residual = transport.Span(Quantity::kChlorine);
  EXPECT_NEAR(residual.lowest[At(end)], left, 1e-12);
  EXPECT_NEAR(residual.greatest[At(end)], 0.8 * std::exp(-1.0 / 24), 1e-12);
  EXPECT_NEAR(residual.mean[At(end)], (0.8 * std::exp(-1.0 / 24) - left) * 24 / 10, 1e-12);
  const SpanStatistics age = transport.Span(Quantity::kAge);
  EXPECT_NEAR(age.mean[At(end)], 6 * kHour, 1e-6);
  ExpectAccountCloses(transport);
}

// Two links that hold no water pass it at once; a pumped ring of pipes goes round and gets its share of new
// water each time. In the ring 1 L/s of new water joins 3 L/s that come round through 7.2 m3 (half an hour at
// 4 L/s): age a after the joint obeys a = (3 (a + 0.5 h) + 0) / 4, so a = 1.5 h and 2 h where it is drawn.
TEST(NetworkTransport, GoesRoundAPumpedRing) {
  ScriptedNetwork town;
  const NodeIndex source = town.AddSource(1);
  const NodeIndex joint = town.AddNode();
  const NodeIndex pump = town.AddNode();
  const NodeIndex far = town.AddNode();
  town.AddValve(source, joint);
  town.AddValve(joint, pump);
  town.AddPipe(pump, far, 7.2 - 0.36);
  town.AddPipe(far, joint, 0.36);
  town.network.options.bulk_per_day = 0.1;
  NetworkTransport transport = MakeTransport(town.network);
  FlowScript script(town.network);
  for (int i = 0; i < 48; ++i) {
    ASSERT_TRUE(transport.Advance(script.Next(kHour, {1e-3, 4e-3, 4e-3, 3e-3})).ok());
  }
  const double a = (3 * ((7.2 - 0.36) / 14.4 + 0.36 / 10.8)) / (4 - 3);
  EXPECT_NEAR(Age_h(transport, pump, town.network), a, 0.02);
  EXPECT_NEAR(Age_h(transport, far, town.network), a + (7.2 - 0.36) / 14.4, 0.02);
  EXPECT_LE(transport.worst_error(Quantity::kAge), 0.05 * kHour);
  ExpectAccountCloses(transport);
}

// C -> C_in with V / Q the time constant, beside a loss: steady C = C_in / (1 + k V / Q); age V / Q.
TEST(NetworkTransport, OfAMixedTankApproachesItsSteadyState) {
  ScriptedNetwork town;
  const NodeIndex source = town.AddSource(1);
  const NodeIndex tank = town.AddTank(TankMixing::kMixed);
  const NodeIndex end = town.AddNode();
  town.AddValve(source, tank);
  town.AddValve(tank, end);
  town.network.options.bulk_per_day = 2;
  NetworkTransport transport = MakeTransport(town.network);
  FlowScript script(town.network);
  script.SetTank(tank, 100);
  const double turnover_s = 100 / 2e-3;
  ASSERT_TRUE(transport.Advance(script.Next(turnover_s, {2e-3, 2e-3})).ok());
  const double k = 2 / kDay;
  const double rate = 1 / turnover_s + k;
  EXPECT_NEAR(Chlorine(transport, end, town.network),
              (1 - std::exp(-rate * turnover_s)) / (1 + k * turnover_s), 1e-6);
  EXPECT_NEAR(Age_h(transport, end, town.network) * kHour, turnover_s * (1 - std::exp(-1.0)), 1);
  ASSERT_TRUE(transport.Advance(script.Next(30 * turnover_s, {2e-3, 2e-3})).ok());
  EXPECT_NEAR(Chlorine(transport, end, town.network), 1 / (1 + k * turnover_s), 1e-6);
  EXPECT_NEAR(Age_h(transport, end, town.network) * kHour, turnover_s, 1);
  ExpectAccountCloses(transport);
}

// First in first out: what leaves went in a volume before.
TEST(NetworkTransport, OfATankInOrderIsADelay) {
  ScriptedNetwork town;
  const NodeIndex source = town.AddSource(1);
  const NodeIndex tank = town.AddTank(TankMixing::kFirstInFirstOut);
  const NodeIndex end = town.AddNode();
  town.AddValve(source, tank);
  town.AddValve(tank, end);
  town.network.options.bulk_per_day = 1;
  NetworkTransport transport = MakeTransport(town.network);
  FlowScript script(town.network);
  script.SetTank(tank, 7.2);
  ASSERT_TRUE(transport.Advance(script.Next(2 * kHour, {2e-3, 1e-3})).ok());  // 14.4 m3 now, half of it new
  EXPECT_NEAR(Age_h(transport, end, town.network), 2, 1e-9);
  ASSERT_TRUE(transport.Advance(script.Next(kHour, {0, 2e-3})).ok());
  EXPECT_NEAR(Age_h(transport, end, town.network), 2, 1e-9);  // it went in at hour 1
  ASSERT_TRUE(transport.Advance(script.Next(kHour, {0, 0})).ok());
  EXPECT_NEAR(Age_h(transport, end, town.network), 3, 1e-9);
  EXPECT_NEAR(Chlorine(transport, end, town.network), std::exp(-3.0 / 24), 1e-12);
  ExpectAccountCloses(transport);
}

// COMPUTED: uniform draw-off along a dead end, age(x) = (L / v0) ln(L / (L - x)); L / v0 = 1 h, at x / L
// 0.25, 0.5, 0.75 and 0.9: 0.2877, 0.6931, 1.3863, 2.3026 h. 600 taps: the error is of the first order in
// their spacing.
TEST(NetworkTransport, AgesWaterAlongADeadEndLikeTheUniformLaw) {
  constexpr int kTaps = 600;
  ScriptedNetwork town;
  NodeIndex upper = town.AddSource(1);
  std::vector<double> flow;
  for (int tap = 0; tap < kTaps; ++tap) {
    const NodeIndex node = town.AddNode();
    town.AddPipe(upper, node, 3.6 / kTaps);
    flow.push_back(1e-3 * (kTaps - tap) / kTaps);
    upper = node;
  }
  NetworkTransport transport = MakeTransport(town.network);
  FlowScript script(town.network);
  for (int hour = 0; hour < 8; ++hour) ASSERT_TRUE(transport.Advance(script.Next(kHour, flow)).ok());
  for (const double share : {0.25, 0.5, 0.75, 0.9}) {
    const auto node = static_cast<NodeIndex>(static_cast<uint32_t>(share * kTaps));
    EXPECT_NEAR(Age_h(transport, node, town.network), std::log(1 / (1 - share)), 0.01) << share;
  }
}

// Flows by the hydraulics: a source, a town with a pattern, a tank that fills at night.
TEST(NetworkTransport, FollowsASimulationOfFlows) {
  ScriptedNetwork town;
  const NodeIndex source = town.AddSource(1);
  const NodeIndex centre = town.AddNode();
  const NodeIndex tank = town.AddTank(TankMixing::kMixed, 8);
  const NodeIndex end = town.AddNode();
  Network& network = town.network;
  town.AddPipe(source, centre, 60, 0.3);
  town.AddPipe(centre, tank, 30, 0.3);
  town.AddPipe(centre, end, 5, 0.1);
  for (Link& link : network.links) {
    link.roughness = Sourced<double>{};
    link.roughness->value = 120;
  }
  for (Node& node : network.nodes) {
    node.elevation_m = Sourced<double>{};
    node.elevation_m->value = 0;
  }
  network[source].head_m = 50;
  network[tank].elevation_m->value = 44;
  network[tank].tank->level_m = 4;
  network[tank].tank->min_level_m = 1;
  network[tank].tank->max_level_m = 8;
  network.patterns.push_back({.id = "day", .factors = {0.2, 0.2, 0.2, 1, 2, 2.4, 1, 1}});
  for (const NodeIndex node : {centre, end}) {
    network[node].pattern = "day";
    network[node].demand_m3_per_s = node == centre ? 0.03 : 2e-4;
  }
  network.options.bulk_per_day = 0.5;
  network.options.wall_m_per_day = 0.05;
  Result<FlowSimulation> simulation = FlowSimulation::Make(network, {.hours = 96});
  ASSERT_TRUE(simulation.ok()) << simulation.error().ToString();
  NetworkTransport transport = MakeTransport(network, {.source = source});
  FlowPeriod period;
  for (;;) {
    const Result<bool> more = simulation->Next(period);
    ASSERT_TRUE(more.ok());
    if (!*more) break;
    ASSERT_TRUE(transport.Advance(period).ok());
    if (period.end_s <= 48 * kHour) transport.BeginSpan();
  }
  EXPECT_NEAR(transport.now_s(), 96 * kHour, 1e-6);
  ExpectAccountCloses(transport);
  const SpanStatistics residual = transport.Span(Quantity::kChlorine);
  EXPECT_GT(residual.lowest[At(end)], 0.3);
  EXPECT_LT(residual.lowest[At(tank)], residual.mean[At(centre)]);
  EXPECT_LT(residual.greatest[At(end)], 1);
  EXPECT_NEAR(ReadAt(transport, Quantity::kSourceShare, end, network), 1, 1e-6);
  const SpanStatistics age = transport.Span(Quantity::kAge);
  EXPECT_GT(age.lowest[At(end)], age.lowest[At(centre)]);
  EXPECT_LT(age.greatest[At(tank)], 48 * kHour);
}

TEST(NetworkTransport, RefusesWhatCannotBeMeant) {
  ScriptedNetwork town;
  town.AddSource(1);
  EXPECT_FALSE(NetworkTransport::Make(town.network, {.age = false, .chlorine = false}).ok());
  EXPECT_FALSE(NetworkTransport::Make(town.network, {.source = NodeIndex{7}}).ok());
  EXPECT_FALSE(NetworkTransport::Make(town.network, {.tolerance = -1}).ok());
}

}  // namespace
}  // namespace lastreach
