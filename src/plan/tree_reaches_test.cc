#include "plan/tree_reaches.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "plan/test_devices.h"

namespace lastreach {
namespace {

using testing::ElementsAre;

DeviceFacts On(std::vector<std::string> pipe_ids) {
  DeviceFacts facts = MadeUpDevice(2, 100);
  facts.reach.pipes.assign(std::max<size_t>(1, pipe_ids.size()), facts.reach.pipes[0]);
  facts.pipe_ids = std::move(pipe_ids);
  return facts;
}

TEST(TreesOf, PutsReachesWithTheSameFirstPipeTogether) {
  const std::vector<ReachTree> trees =
      TreesOf({On({"a", "b"}), On({}), On({"c"}), On({"a", "d"}), On({}), On({"a", "b", "e"})});
  ASSERT_EQ(trees.size(), 4u);
  EXPECT_THAT(trees[0].devices, ElementsAre(0, 3, 5));
  EXPECT_THAT(trees[1].devices, ElementsAre(1));
  EXPECT_THAT(trees[2].devices, ElementsAre(2));
  EXPECT_THAT(trees[3].devices, ElementsAre(4));
}

TEST(WithNeighbours, PutsEachWhereItsWayParts) {
  std::vector<DeviceFacts> devices = {On({"a", "b", "c"}), On({"a", "d"}), On({"a", "b"})};
  devices[1].point.flow = From(OriginKind::kEstimated, Flow::LitresPerSecond(1));
  const ReachTree tree{{0, 1, 2}};
  std::vector<TimerSettings> settings(3);
  settings[2].percent = 70;
  const DeviceFacts first = WithNeighbours(devices, tree, 0, settings);
  ASSERT_EQ(first.beside.size(), 2u);
  EXPECT_EQ(first.beside[0].pipe, 0u);
  EXPECT_DOUBLE_EQ(first.beside[0].flow_m3_per_s, 1e-3);
  EXPECT_EQ(first.beside[0].flow_known, OriginKind::kEstimated);
  EXPECT_EQ(first.beside[1].pipe, 1u);
  EXPECT_EQ(first.beside[1].settings.percent, 70);
  // One that stands further down the same way is carried by all of this one's reach.
  EXPECT_EQ(WithNeighbours(devices, tree, 2, settings).beside[0].pipe, 1u);
}

TEST(WithNeighbours, LeavesOutADeviceWhoseFlowNobodyKnows) {
  std::vector<DeviceFacts> devices = {On({"a", "b"}), On({"a", "d"})};
  devices[1].point.flow.reset();
  EXPECT_TRUE(WithNeighbours(devices, {{0, 1}}, 0, std::vector<TimerSettings>(2)).beside.empty());
}

}  // namespace
}  // namespace lastreach
