// What a simulation says of itself.
#include "hydraulics/flow_simulation_summary.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "hydraulics/simulated.h"
#include "hydraulics/test_networks.h"

namespace lastreach {
namespace {

using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;

TEST(FlowSimulationSummary, NamesTheLowestPressureOfWhereSomethingIsDrawnAndWhen) {
  Hand hand;
  const NodeIndex source = hand.Source(60);
  const NodeIndex low = hand.Junction(10, 0.01);
  const NodeIndex high = hand.Junction(30, 0.01);
  const NodeIndex nobody = hand.Junction(55, 0);
  hand.Pipe(source, low, 500, 0.2);
  hand.Pipe(low, high, 500, 0.2);
  hand.Pipe(source, nobody, 10, 0.2);
  hand.network.patterns = {{"p", {1, 0.5, 2, 0.5}}};
  for (const NodeIndex node : {low, high}) hand.network[node].pattern = "p";
  const Simulated run = Simulate(hand.network, {.hours = 24});
  ASSERT_TRUE(run.summary.lowest_pressure);
  EXPECT_EQ(run.summary.lowest_pressure->node, high);
  EXPECT_EQ(run.summary.lowest_pressure->hour, 2);
  EXPECT_EQ(run.summary.lowest_pressure->pressure_m, run.periods[2].head_m[At(high)] - 30);
  EXPECT_THAT(run.summary.BriefReport(hand.network), HasSubstr("at N2, hour 2.00"));
}

TEST(FlowSimulationSummary, NamesEachNodeThatWasNotFedOnceWithItsHours) {
  Hand hand;
  const NodeIndex source = hand.Source(60);
  const NodeIndex near = hand.Junction(10, 0.001);
  const NodeIndex far = hand.Junction(10, 0.001);
  const NodeIndex end = hand.Junction(10, 0.001);
  hand.Pipe(source, near, 500, 0.2);
  hand.Pipe(near, far, 500, 0.2);
  hand.Pipe(far, end, 500, 0.2);
  hand.network.rules = {{LinkIndex(1), false, {}, {}, {}, 2}, {LinkIndex(1), true, {}, {}, {}, 5.5}};
  const Simulated run = Simulate(hand.network, {.hours = 72, .report_step_s = 900});
  ASSERT_EQ(run.summary.not_fed.size(), 2U);
  for (const auto& entry : run.summary.not_fed) {
    EXPECT_TRUE(entry.node == far || entry.node == end);
    EXPECT_EQ(entry.first_hour, 2);
    EXPECT_NEAR(entry.hours, 3 * 3.5, 1e-9);
  }
  EXPECT_TRUE(run.summary.IsUsable());
  EXPECT_THAT(run.summary.BriefReport(hand.network),
              HasSubstr("not fed at times: 2 nodes, the first N2 from hour 2.00"));
  // Where nothing comes nothing is drawn.
  EXPECT_NEAR(run.summary.drawn_m3, 0.001 * 3600 * (72 + 2 * (72 - 10.5)), 1e-9);
  EXPECT_NEAR(run.summary.Imbalance_m3(), 0, 1e-9);
}

TEST(FlowSimulationSummary, NamesTheLinksThatDoNotSettleAndForHowLong) {
  // A limit below what is drawn behind it has no answer.
  Hand hand;
  const NodeIndex source = hand.Source(60);
  const NodeIndex town = hand.Junction(10, 0.01);
  hand.Add(LinkKind::kLimiting, source, town).setting = 0.015;
  hand.network.patterns = {{"p", {1, 2, 1, 1}}};
  hand.network[town].pattern = "p";
  const Simulated run = Simulate(hand.network, {.hours = 8});
  EXPECT_FALSE(run.summary.IsUsable());
  EXPECT_NEAR(run.summary.unsettled_hours, 2, 1e-9);
  ASSERT_EQ(run.summary.unsettled.size(), 1U);
  EXPECT_EQ(run.summary.unsettled[0].link, LinkIndex(0));
  EXPECT_EQ(run.summary.unsettled[0].first_hour, 1);
  EXPECT_NEAR(run.summary.unsettled[0].hours, 2, 1e-9);
  EXPECT_THAT(run.summary.BriefReport(hand.network),
              HasSubstr("did not converge for 2.00 h, these do not settle: L0 from hour 1.00"));
}

TEST(FlowSimulationSummary, SaysNothingOfTroubleWhereThereIsNone) {
  Hand hand;
  const NodeIndex source = hand.Source(60);
  hand.Pipe(source, hand.Junction(10, 0.01), 500, 0.2);
  const Simulated run = Simulate(hand.network, {.hours = 8});
  EXPECT_THAT(run.summary.not_fed, IsEmpty());
  EXPECT_THAT(run.summary.unsettled, IsEmpty());
  EXPECT_THAT(run.summary.BriefReport(hand.network), Not(HasSubstr("not ")));
  EXPECT_LT(run.summary.mass_imbalance_m3_per_s, 1e-9);
  EXPECT_LT(run.summary.energy_imbalance_m, 1e-6);
  EXPECT_EQ(run.summary.periods, run.periods.size());
  EXPECT_EQ(run.summary.hours, 8);
}

}  // namespace
}  // namespace lastreach
