#include "plan/tree_shape.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "plan/random_trees.h"
#include "plan/test_devices.h"

namespace lastreach {
namespace {

TreeReach ReachWith(const std::vector<std::pair<std::string, int>>& pipes) {
  DeviceFacts facts = MadeUpDevice(0, 300);
  const ReachPipe made = facts.reach.pipes[0];
  facts.reach.pipes.clear();
  TreeReach reach;
  for (const auto& [id, services] : pipes) {
    facts.reach.pipes.push_back(made);
    facts.reach.pipes.back().services.value = services;
    reach.pipe_ids.push_back(id);
  }
  reach.model = ModelReach(*GatherNumbers(facts, FourWeeks()), {});
  reach.target_mg_per_l = 0.4;
  return reach;
}

TEST(ShapeOf, TakesSharedPipesOnce) {
  const TreeShape shape = ShapeOf({ReachWith({{"a", 2}, {"b", 3}}), ReachWith({{"a", 2}, {"c", 1}}),
                                   ReachWith({{"a", 2}, {"b", 3}, {"d", 0}, {"e", 1}})});
  ASSERT_EQ(shape.stretches.size(), 8u);
  ASSERT_EQ(shape.ends.size(), 3u);
  EXPECT_EQ(shape.ends[0].stretch, 4u);
  EXPECT_EQ(shape.ends[1].stretch, 5u);
  EXPECT_EQ(shape.stretches[5].before, 1u);
  EXPECT_EQ(shape.ends[2].stretch, 7u);
  EXPECT_EQ(shape.stretches[6].before, 4u);
  EXPECT_NEAR(shape.DemandBeyond()[0], 7 * 4e-6, 1e-15);
}

TEST(ShapeOf, TakesTheMilderWhereReachesDiffer) {
  TreeReach milder = ReachWith({{"a", 2}, {"b", 1}});
  milder.model.branch.segments[1].length_m /= 2;
  milder.model.branch.segments[1].tap_demand_m3_per_s *= 3;
  const TreeShape shape = ShapeOf({ReachWith({{"a", 2}, {"c", 1}}), milder});
  EXPECT_NEAR(shape.stretches[1].volume_m3, milder.model.branch.segments[1].volume_m3(), 1e-12);
  EXPECT_NEAR(shape.stretches[1].tap_m3_per_s, 1.2e-5, 1e-15);
  const TreeShape cut_otherwise = ShapeOf({ReachWith({{"a", 2}, {"c", 1}}), ReachWith({{"a", 5}, {"b", 1}})});
  EXPECT_EQ(cut_otherwise.stretches[0].tap_m3_per_s, 0);
  EXPECT_NEAR(cut_otherwise.stretches[1].tap_m3_per_s, 2e-5, 1e-15);
}

TEST(ShapeOf, EndsAtTheLastServiceJudged) {
  const TreeShape shape = ShapeOf({ReachWith({{"a", 2}, {"b", 0}})});
  EXPECT_EQ(shape.ends[0].stretch, 1u);
}

double LineAt(const std::vector<DemandCorner>& corners, double volume) {
  double most = 0;
  for (size_t c = 1; c < corners.size(); ++c) {
    const double width = corners[c].volume_m3 - corners[c - 1].volume_m3;
    if (width <= 0 || volume < corners[c - 1].volume_m3 || volume > corners[c].volume_m3 + 1e-12) continue;
    most = std::max(
        most, corners[c - 1].demand_m3_per_s + (corners[c].demand_m3_per_s - corners[c - 1].demand_m3_per_s) /
                                                   width * (volume - corners[c - 1].volume_m3));
  }
  return most;
}

// Every set of taps that a front can have ahead of it, by enumeration.
TEST(MostDrawAhead, IsTheLowestConcaveLineOverEveryFront) {
  for (uint64_t seed = 1; seed <= 60; ++seed) {
    SCOPED_TRACE(seed);
    const TreeShape shape = MakeRandomTree(seed, 4, true);
    if (shape.stretches.size() > 12) continue;
    std::vector<size_t> ends(shape.ends.size());
    for (size_t e = 0; e < ends.size(); ++e) ends[e] = e;
    const std::vector<size_t> members = shape.Below(0, ends);
    const std::vector<DemandCorner> line = MostDrawAhead(shape, members);
    std::vector<DemandCorner> fronts;
    for (unsigned set = 0; set < 1U << shape.stretches.size(); ++set) {
      bool closed = true;
      DemandCorner front;
      for (size_t s = 0; s < shape.stretches.size(); ++s) {
        const auto before = shape.stretches[s].before;
        if (before && (set >> *before & 1U) != 0) {
          closed = closed && (set >> s & 1U) != 0;
          front.volume_m3 += shape.stretches[s].volume_m3;
        }
        if ((set >> s & 1U) != 0) front.demand_m3_per_s += shape.stretches[s].tap_m3_per_s;
      }
      if (closed) fronts.push_back(front);
    }
    std::vector<size_t> touched(line.size(), 0);
    for (const DemandCorner& front : fronts) {
      ASSERT_LE(front.demand_m3_per_s, LineAt(line, front.volume_m3) + 1e-15);
      for (size_t c = 0; c < line.size(); ++c) {
        touched[c] += std::abs(line[c].volume_m3 - front.volume_m3) < 1e-12 &&
                              std::abs(line[c].demand_m3_per_s - front.demand_m3_per_s) < 1e-15
                          ? 1
                          : 0;
      }
    }
    for (size_t c = 0; c + 1 < line.size(); ++c) EXPECT_GT(touched[c], 0u) << "corner " << c;
    for (size_t c = 2; c < line.size(); ++c) {
      const double turn = (line[c - 1].volume_m3 - line[c - 2].volume_m3) *
                              (line[c].demand_m3_per_s - line[c - 1].demand_m3_per_s) -
                          (line[c].volume_m3 - line[c - 1].volume_m3) *
                              (line[c - 1].demand_m3_per_s - line[c - 2].demand_m3_per_s);
      EXPECT_LE(turn, 1e-18);
    }
  }
}

}  // namespace
}  // namespace lastreach
