#include "together/what_else.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "plan/plan_system.h"
#include "together/test_street.h"

namespace lastreach {
namespace {

DateWindow July() { return {Date{std::chrono::year{2026} / 7 / 1}, Date{std::chrono::year{2026} / 7 / 29}}; }

DeviceDuty Nightly(int minutes) {
  TimerSettings settings;
  settings.programmes.push_back({{120}, minutes, kEveryWeekday, {}});
  return {RichForm(), settings, 3e-3, 0};
}

// A planner that needs no search: a minute a night for every cubic metre the reach holds.
std::vector<DevicePlan> AMinuteACubicMetre(const std::vector<DeviceFacts>& devices) {
  std::vector<DevicePlan> plans;
  for (const DeviceFacts& facts : devices) {
    double volume_m3 = 0;
    for (const ReachPipe& pipe : facts.reach.pipes) {
      volume_m3 += PipeVolume(pipe.length.value, pipe.inner_diameter.value).cubic_metres();
    }
    DevicePlan plan;
    plan.verdict = Verdict::kChange;
    plan.form = facts.form;
    plan.settings.programmes.push_back({{120}, static_cast<int>(volume_m3), kEveryWeekday, {}});
    plan.planned_outcome = Outcome{};
    plan.planned_outcome->water_m3_per_day = static_cast<int>(volume_m3) * 0.18;
    plans.push_back(plan);
  }
  return plans;
}

const OtherWayOutcome* Find(const std::vector<OtherWayOutcome>& all, OtherWay way) {
  const auto found =
      std::find_if(all.begin(), all.end(), [&](const OtherWayOutcome& o) { return o.way == way; });
  return found == all.end() ? nullptr : &*found;
}

// A2 and B2 80 m apart on the ground, T and S far from both.
PlanningNetwork OnTheGround() {
  PlanningNetwork street = ForkedStreet();
  const double metre_deg = 1 / 111195.0;
  for (Node& node : street.network.nodes) node.at = Position{0, 1};
  street.network.nodes[2].at = Position{0, 200 * metre_deg};               // A1
  street.network.nodes[3].at = Position{0, 400 * metre_deg};               // A2
  street.network.nodes[4].at = Position{0, 1200 * metre_deg};              // B1
  street.network.nodes[5].at = Position{80 * metre_deg, 400 * metre_deg};  // B2
  return street;
}

TEST(WhatElse, RunsTheNetworkWithoutTheDeviceNarrowerAndLooped) {
  const PlanningNetwork street = OnTheGround();
  DeviceFacts facts = MadeUpDevice(2, 400);
  const auto all =
      WhatElse(street, {Nightly(60), Nightly(60)}, 0, facts, 0.4, AMinuteACubicMetre, Zone::Utc(), July());
  ASSERT_TRUE(all.ok());
  const auto with = JudgeOnNetwork(street, {Nightly(60), Nightly(60)}, Zone::Utc(), July());
  const OtherWayOutcome* without = Find(*all, OtherWay::kRemove);
  ASSERT_NE(without, nullptr);
  EXPECT_LT(without->lowest_mg_per_l, with->devices[0].lowest_mg_per_l);
  EXPECT_EQ(without->water_m3_per_day, 0);
  // 400 m of 150 mm hold 7.07 m3, of 100 mm 3.14.
  const OtherWayOutcome* narrow = Find(*all, OtherWay::kSmallerMain);
  ASSERT_NE(narrow, nullptr);
  EXPECT_DOUBLE_EQ(narrow->water_m3_per_day, 3 * 0.18);
  EXPECT_DOUBLE_EQ(narrow->main_m, 400);
  // B's nightly flush now comes through A as well.
  const OtherWayOutcome* loop = Find(*all, OtherWay::kLoop);
  ASSERT_NE(loop, nullptr);
  EXPECT_EQ(loop->joined_to, street.placed[1].node);
  EXPECT_NEAR(loop->main_m, 96, 0.5);
  EXPECT_GT(loop->lowest_mg_per_l, without->lowest_mg_per_l);
  // A customer stands at the end, so there is nothing to move.
  EXPECT_EQ(Find(*all, OtherWay::kMoveToLastCustomer), nullptr);
}

TEST(WhatElse, MovesTheDeviceUpToTheLastCustomer) {
  PlanningNetwork street = ForkedStreet();
  street.network.nodes[3].demand_m3_per_s = 0;
  street.placed[0].judged = {static_cast<NodeIndex>(2)};
  DeviceFacts facts = MadeUpDevice(1, 200);
  ReachPipe tail = facts.reach.pipes[0];
  tail.services.value = 0;
  facts.reach.pipes.push_back(tail);
  const auto all =
      WhatElse(street, {Nightly(60), Nightly(60)}, 0, facts, 0.4, AMinuteACubicMetre, Zone::Utc(), July());
  ASSERT_TRUE(all.ok());
  const OtherWayOutcome* moved = Find(*all, OtherWay::kMoveToLastCustomer);
  ASSERT_NE(moved, nullptr);
  EXPECT_DOUBLE_EQ(moved->water_m3_per_day, 3 * 0.18);
  EXPECT_EQ(Find(*all, OtherWay::kLoop), nullptr);  // nothing has a place on the ground
}

TEST(ShortestWay, IsTheShorterOfTwoAndNoneThroughAShutValve) {
  Network network = ForkedStreet().network;
  const NodeIndex source{0};
  const NodeIndex end{5};
  ASSERT_EQ(ShortestWay(network, source, end).size(), 3U);
  Link direct = network.links[0];
  direct.from = source;
  direct.to = end;
  direct.length_m.value = 2399;
  network.links.push_back(direct);
  EXPECT_EQ(ShortestWay(network, source, end), std::vector<LinkIndex>{LinkIndex(network.links.size() - 1)});
  network.links.back().kind = LinkKind::kClosed;
  EXPECT_EQ(ShortestWay(network, source, end).size(), 3U);
  network.links[0].kind = LinkKind::kClosed;
  EXPECT_TRUE(ShortestWay(network, source, end).empty());
}

}  // namespace
}  // namespace lastreach
