#include "plan/plan_tree.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "plan/measure.h"
#include "plan/plan_device.h"
#include "plan/test_devices.h"

namespace lastreach {
namespace {

PlanOptions Few() {
  PlanOptions options = FourWeeks();
  options.to = AddDays(options.from, 14);
  options.draws = 80;
  options.confirming_draws = 200;
  return options;
}

// A trunk and an arm for each device.
std::vector<DeviceFacts> OnATrunk(double trunk_m, const std::vector<std::pair<int, double>>& arms) {
  std::vector<DeviceFacts> devices;
  for (const auto& [services, length_m] : arms) {
    DeviceFacts facts = MadeUpDevice(0, trunk_m);
    facts.form.programmes = 1;
    facts.form.day_patterns = std::vector<DayPatternKind>{DayPatternKind::kWeekdays};
    facts.point.code = PointCode("T0" + std::to_string(devices.size() + 1));
    facts.reach.pipes.push_back(facts.reach.pipes[0]);
    facts.reach.pipes[1].length = Measured(Length::Metres(length_m));
    facts.reach.pipes[1].services = Typed(services);
    facts.pipe_ids = {"trunk", facts.point.code.text()};
    devices.push_back(std::move(facts));
  }
  return devices;
}

// Judged anew on each reach, all draws and every service, the others running as planned.
void ExpectEveryReachHolds(const std::vector<DeviceFacts>& devices, const TreePlan& plan,
                           const PlanOptions& options) {
  ReachTree tree;
  std::vector<TimerSettings> settings;
  for (size_t i = 0; i < devices.size(); ++i) {
    tree.devices.push_back(i);
    settings.push_back(plan.devices[i].settings);
  }
  for (size_t i = 0; i < devices.size(); ++i) {
    SCOPED_TRACE(i);
    const DeviceFacts beside = WithNeighbours(devices, tree, i, settings);
    const PlanningNumbers numbers = *GatherNumbers(beside, options);
    Trial trial(beside.form, options.zone, numbers);
    SurenessJudge judge(trial, PlainDraws(300, 77), GuessSlopes(numbers));
    // Other draws than the plan's: give or take two deviations of a share.
    EXPECT_TRUE(judge.Holds(KeyedLongAgo(settings[i]), {{options.from, AddDays(options.from, 8)}},
                            options.sureness - 0.04));
  }
}

TEST(PlanTree, SavesWaterOnASharedTrunkAndEveryReachHolds) {
  const std::vector<DeviceFacts> devices = OnATrunk(500, {{4, 120}, {3, 200}});
  const PlanOptions options = Few();
  const TreePlan plan = PlanTree(devices, {{0, 1}}, options);
  ASSERT_TRUE(plan.is_joint);
  EXPECT_LT(plan.together_m3_per_day, 0.85 * plan.alone_m3_per_day);
  EXPECT_LE(plan.bound.m3_per_day, plan.together_m3_per_day);
  EXPECT_GT(plan.bound.m3_per_day, 0.2 * plan.together_m3_per_day);
  ExpectEveryReachHolds(devices, plan, options);
  double sum = 0;
  for (const DevicePlan& device : plan.devices) {
    EXPECT_GE(device.planned_outcome->sureness, options.sureness);
    EXPECT_LE(device.bound_m3_per_day, plan.together_m3_per_day);
    sum += device.planned_outcome->water_m3_per_day;
    EXPECT_THAT(device.cautions, testing::Contains(testing::HasSubstr("counts on T0")));
  }
  EXPECT_DOUBLE_EQ(sum, plan.together_m3_per_day);
  EXPECT_THAT(NotesOn({plan}), testing::ElementsAre(testing::AllOf(
                                   testing::HasSubstr("T01 and T02 share mains and are planned together"),
                                   testing::HasSubstr("each planned alone would come to"))));
}

TEST(InOrderOfDevices, PutsPlansWhereTheirDevicesStood) {
  std::vector<TreePlan> trees(2);
  trees[0].bound.devices = {0, 2};
  trees[1].bound.devices = {1};
  for (TreePlan& tree : trees) {
    for (const size_t device : tree.bound.devices) {
      tree.devices.emplace_back();
      tree.devices.back().point.code = PointCode(std::to_string(device));
    }
  }
  const std::vector<DevicePlan> plans = InOrderOfDevices(trees);
  ASSERT_EQ(plans.size(), 3u);
  for (size_t i = 0; i < 3; ++i) EXPECT_EQ(plans[i].point.code.text(), std::to_string(i));
}

TEST(PlanTree, TurnsADeviceOffWhoseReachItsNeighbourHolds) {
  // The second stands at the trunk's end, where the first's water passes.
  std::vector<DeviceFacts> devices = OnATrunk(400, {{3, 150}, {0, 1}});
  devices[1].reach.pipes.pop_back();
  devices[1].pipe_ids = {"trunk"};
  const TreePlan plan = PlanTree(devices, {{0, 1}}, Few());
  ASSERT_TRUE(plan.is_joint);
  EXPECT_EQ(plan.devices[1].verdict, Verdict::kNoFlushNeeded);
  EXPECT_FALSE(plan.devices[1].settings.on);
  EXPECT_THAT(plan.devices[1].reasons, testing::Contains(testing::HasSubstr("With T01, which shares")));
  ExpectEveryReachHolds(devices, plan, Few());
}

TEST(PlanTree, IsPlanDeviceWhereNothingIsShared) {
  std::vector<DeviceFacts> devices = OnATrunk(300, {{3, 150}, {2, 100}});
  devices[1].pipe_ids = {"other trunk", "T02"};
  devices[1].point.flow.reset();
  const std::vector<TreePlan> plans = PlanTrees(devices, Few());
  ASSERT_EQ(plans.size(), 2u);
  const DevicePlan alone = PlanDevice(devices[0], Few());
  EXPECT_EQ(plans[0].devices[0].settings, alone.settings);
  EXPECT_FALSE(plans[0].is_joint);
  EXPECT_DOUBLE_EQ(plans[0].bound.m3_per_day, alone.bound_m3_per_day);
  EXPECT_EQ(plans[1].devices[0].verdict, Verdict::kTooLittleKnown);
  EXPECT_DOUBLE_EQ(BoundTogether_m3_per_day(plans), alone.bound_m3_per_day);
}

TEST(PlanTree, CountsOnNobodyOfWhomTooLittleIsKnown) {
  std::vector<DeviceFacts> devices = OnATrunk(300, {{3, 150}, {2, 100}});
  devices[1].point.flow.reset();
  const TreePlan plan = PlanTree(devices, {{0, 1}}, Few());
  EXPECT_FALSE(plan.is_joint);
  EXPECT_EQ(plan.devices[0].settings, PlanDevice(devices[0], Few()).settings);
  EXPECT_EQ(plan.devices[1].verdict, Verdict::kTooLittleKnown);
}

TEST(PlanTree, GoesOnFromWhatWasPlannedTogetherForNearlyTheSameWater) {
  std::vector<DeviceFacts> devices = OnATrunk(500, {{4, 120}, {3, 200}});
  const PlanOptions options = Few();
  const TreePlan before = PlanTree(devices, {{0, 1}}, options);
  ASSERT_TRUE(before.is_joint);
  for (size_t i = 0; i < devices.size(); ++i) {
    const DevicePlan& plan = before.devices[i];
    EXPECT_TRUE(plan.planned_together);
    devices[i].supply.upstream_residual = Measured(Concentration::MilligramsPerLitre(0.97));
    devices[i].planned_before = PlannedBefore{plan.settings, plan.planned_outcome->water_m3_per_day,
                                              plan.bound_m3_per_day, plan.planned_together};
  }
  const TreePlan plan = PlanTree(devices, {{0, 1}}, options);
  ASSERT_TRUE(plan.is_joint);
  ExpectEveryReachHolds(devices, plan, options);
  for (DeviceFacts& facts : devices) facts.planned_before.reset();
  const TreePlan anew = PlanTree(devices, {{0, 1}}, options);
  EXPECT_LT(plan.together_m3_per_day, 1.06 * anew.together_m3_per_day);
}

}  // namespace
}  // namespace lastreach
