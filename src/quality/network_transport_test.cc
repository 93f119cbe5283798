#include "quality/network_transport.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

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

TEST(NetworkTransport, RefusesWhatCannotBeMeant) {
  ScriptedNetwork town;
  town.AddSource(1);
  EXPECT_FALSE(NetworkTransport::Make(town.network, {.age = false, .chlorine = false}).ok());
  EXPECT_FALSE(NetworkTransport::Make(town.network, {.source = NodeIndex{7}}).ok());
  EXPECT_FALSE(NetworkTransport::Make(town.network, {.tolerance = -1}).ok());
}

}  // namespace
}  // namespace lastreach
