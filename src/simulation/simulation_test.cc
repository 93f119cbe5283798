#include "simulation/simulation.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "simulation/period_stream.h"

namespace lastreach {
namespace {

using ::testing::ElementsAre;

constexpr double kVolume_m3 = 1000 * std::numbers::pi / 4 * 0.1 * 0.1;

Node Junction(const std::string& id, double demand_m3_per_s) {
  Node node;
  node.id = id;
  node.demand_m3_per_s = demand_m3_per_s;
  node.elevation_m = {100, {}};
  return node;
}

Link Pipe(const std::string& id, uint32_t from, uint32_t to) {
  Link link;
  link.id = id;
  link.from = NodeIndex{from};
  link.to = NodeIndex{to};
  link.length_m = {1000, {}};
  link.inner_diameter_m = Sourced<double>{0.1, {}};
  link.roughness = Sourced<double>{130, {}};
  return link;
}

// A source, a main to A where half a litre a second is drawn, and a stub without a customer to B.
Network MainAndStub() {
  Network network;
  Node source;
  source.id = "S";
  source.kind = NodeKind::kSource;
  source.head_m = 150;
  source.chlorine_mg_per_l = 1;
  network.nodes = {source, Junction("A", 0.5e-3), Junction("B", 0)};
  network.links = {Pipe("1", 0, 1), Pipe("2", 1, 2)};
  network.options.bulk_per_day = 1;
  return network;
}

NodeRun RunAt(uint32_t node, double start_hour, double minutes, double flow_m3_per_s) {
  NodeRun run;
  run.node = NodeIndex{node};
  run.start_hour = start_hour;
  run.minutes = minutes;
  run.flow_m3_per_s = flow_m3_per_s;
  return run;
}

TEST(PeriodStream, GivesThePeriodsOfTheSimulationInTheirOrder) {
  Network network = MainAndStub();
  for (int day = 0; day < 7; ++day) network.runs.push_back(RunAt(2, 24 * day + 3.25, 20, 3e-3));
  FlowSimulationOptions options;
  options.hours = 168;
  options.report_step_s = 3600;
  auto alone = FlowSimulation::Make(network, options);
  auto stream = PeriodStream::Begin(network, options);
  ASSERT_TRUE(alone.ok() && stream.ok());
  FlowPeriod wanted, got;
  size_t periods = 0;
  while (*alone->Next(wanted)) {
    ASSERT_TRUE(*stream->Next(got));
    ++periods;
    ASSERT_EQ(got.begin_s, wanted.begin_s);
    ASSERT_EQ(got.end_s, wanted.end_s);
    ASSERT_TRUE(std::ranges::equal(got.flow_m3_per_s, wanted.flow_m3_per_s));
    ASSERT_TRUE(std::ranges::equal(got.head_m, wanted.head_m));
  }
  EXPECT_FALSE(*stream->Next(got));
  EXPECT_GT(periods, 168U);
  EXPECT_EQ(stream->summary().periods, alone->summary().periods);
}

TEST(PeriodStream, MayBeLeftBeforeItsEnd) {
  const Network network = MainAndStub();
  FlowSimulationOptions options;
  options.hours = 10000;
  options.report_step_s = 60;
  auto stream = PeriodStream::Begin(network, options);
  FlowPeriod period;
  ASSERT_TRUE(*stream->Next(period));
  EXPECT_EQ(period.begin_s, 0);
}

// V/Q is 4.36 h: after a warm week the main holds nothing of the start, the stub nothing else.
TEST(Simulate, WarmsUpUntilTheStartNoLongerShowsAndNamesWhereItDoes) {
  const Network network = MainAndStub();
  SimulationAsk ask;
  ask.hours = 24;
  ask.chlorine = true;
  ask.warm_week = &network;
  ask.series = {{Quantity::kAge, {NodeIndex{1}, NodeIndex{2}}}, {Quantity::kChlorine, {NodeIndex{1}}}};
  const auto answer = Simulate(network, ask);
  ASSERT_TRUE(answer.ok()) << answer.error().ToString();
  const double travel_s = kVolume_m3 / 0.5e-3;
  EXPECT_FALSE(answer->warm_up.settled);
  EXPECT_THAT(answer->warm_up.from_start, ElementsAre(NodeIndex{2}));
  EXPECT_EQ(answer->warm_up.weeks, 1);
  for (const double age_s : answer->series[0][0]) EXPECT_NEAR(age_s, travel_s, 1e-3);
  EXPECT_NEAR(answer->series[0][1].front(), 168 * 3600, 1);
  EXPECT_NEAR(answer->series[1][0].back(), std::exp(-travel_s / 86400), 1e-6);
  EXPECT_NEAR(answer->age_s.worst[1], travel_s, 1e-3);
  EXPECT_NEAR(answer->age_s.worst_week[1], travel_s, 1e-3);
}

// At 2 mL/s the main takes 45 days and the warm-up is given up; the first of three weeks that are alike ends
// it.
TEST(Simulate, GivesUpWhereWaterOfTheStartIsWeeksOnItsWay) {
  Network network = MainAndStub();
  network.nodes[1].demand_m3_per_s = 2e-6;
  SimulationAsk ask;
  ask.warm_week = &network;
  const auto answer = Simulate(network, ask);
  ASSERT_TRUE(answer.ok());
  EXPECT_FALSE(answer->warm_up.settled);
  EXPECT_EQ(answer->warm_up.weeks, 3);
  EXPECT_THAT(answer->warm_up.from_start, ElementsAre(NodeIndex{1}, NodeIndex{2}));
}

// The stub is flushed for an hour a day at 2 L/s, well over its volume and the main's.
TEST(Simulate, TellsAnEndJustBeforeItsRunBegins) {
  Network network = MainAndStub();
  for (int day = 0; day < 7; ++day) network.runs.push_back(RunAt(2, 24 * day + 3.3, 150, 2e-3));
  SimulationAsk ask;
  ask.hours = 168;
  ask.warm_week = &network;
  ask.moments = {{Quantity::kAge, NodeIndex{2}, 27.3 * 3600}, {Quantity::kAge, NodeIndex{2}, -1}};
  const auto answer = Simulate(network, ask);
  ASSERT_TRUE(answer.ok()) << answer.error().ToString();
  EXPECT_TRUE(answer->warm_up.settled);
  EXPECT_EQ(answer->warm_up.weeks, 1);
  // What came last stood since the run before ended: 21.5 h, and the way there at the run's flow.
  const double way_s = kVolume_m3 / 2e-3 + kVolume_m3 / 2.5e-3;
  EXPECT_NEAR(answer->moments[0], 21.5 * 3600 + way_s, 1);
  EXPECT_TRUE(std::isnan(answer->moments[1]));
}

TEST(Simulate, KeepsTheFirstNodesAndLinksAtEachStep) {
  const Network network = MainAndStub();
  SimulationAsk ask;
  ask.hours = 3;
  ask.kept_nodes = 2;
  ask.kept_links = 1;
  const auto answer = Simulate(network, ask);
  ASSERT_EQ(answer->kept.size(), 4U);
  EXPECT_THAT(answer->kept.back().age_h, ElementsAre(0, 3));
  EXPECT_TRUE(answer->kept.back().chlorine_mg_per_l.empty());
  EXPECT_THAT(answer->kept.back().flow_m3_per_s, ElementsAre(0.5e-3F));
  EXPECT_EQ(answer->kept.back().pressure_m.size(), 2U);
  EXPECT_TRUE(std::isnan(answer->kept.back().pressure_m[0]));  // no elevation
}

}  // namespace
}  // namespace lastreach
