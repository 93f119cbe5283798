#include "year/visit_frontier.h"

#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <algorithm>
#include <functional>

#include "year/change_table.h"

namespace lastreach {
namespace {

std::vector<double> AnyDevice() {
  std::vector<double> least;
  double water = *rc::gen::inRange(0, 100);
  const int visits = *rc::gen::inRange(0, 5);
  const int fewest = *rc::gen::inRange(0, 3);
  for (int v = 0; v <= visits; ++v) {
    least.push_back(v < std::min(fewest, visits) ? kMayNotStand : water);
    water = std::max(0.0, water - *rc::gen::inRange(0, 30));
  }
  return least;
}

// The least water over every way of dealing out at most so many visits.
double ByTryingAll(const std::vector<std::vector<double>>& devices, size_t device, int visits) {
  if (device == devices.size()) return 0;
  double least = kMayNotStand;
  for (int v = 0; v <= std::min(visits, static_cast<int>(devices[device].size()) - 1); ++v) {
    least = std::min(least,
                     devices[device][static_cast<size_t>(v)] + ByTryingAll(devices, device + 1, visits - v));
  }
  return least;
}

TEST(VisitFrontier, IsThatOfEveryWayOfDealingOutVisits) {
  EXPECT_TRUE(rc::check([] {
    std::vector<std::vector<double>> devices(static_cast<size_t>(*rc::gen::inRange(0, 5)));
    for (auto& device : devices) device = AnyDevice();
    const VisitFrontier frontier(devices);
    for (int v = 0; v <= frontier.most_visits(); ++v) {
      RC_ASSERT(frontier.water_m3(v) == ByTryingAll(devices, 0, v));
      if (frontier.water_m3(v) == kMayNotStand) continue;
      const std::vector<int> split = frontier.Split(v);
      double water = 0;
      int spent = 0;
      for (size_t d = 0; d < devices.size(); ++d) {
        water += devices[d][static_cast<size_t>(split[d])];
        spent += split[d];
      }
      RC_ASSERT(water == frontier.water_m3(v));
      RC_ASSERT(spent <= v);
    }
  }));
}

TEST(VisitFrontier, NeverRises) {
  EXPECT_TRUE(rc::check([] {
    std::vector<std::vector<double>> devices(3);
    for (auto& device : devices) device = AnyDevice();
    const VisitFrontier frontier(devices);
    for (int v = 1; v <= frontier.most_visits(); ++v)
      RC_ASSERT(!(frontier.water_m3(v) > frontier.water_m3(v - 1)));
  }));
}

TEST(VisitFrontier, VisitsAreWorthTheirWaterTogether) {
  // One change saves nothing alone, two save 300.
  const VisitFrontier frontier({{1000, 1000, 700, 690}});
  EXPECT_EQ(frontier.WorthTheVisits(100, 12), 2);
  EXPECT_EQ(frontier.WorthTheVisits(151, 12), 0);
  EXPECT_EQ(frontier.WorthTheVisits(5, 12), 3);
  EXPECT_EQ(frontier.WorthTheVisits(5, 2), 2);
  EXPECT_EQ(frontier.WorthTheVisits(100, 1), 0);
  EXPECT_DOUBLE_EQ(frontier.SavedByVisit_m3(2), 300);
}

TEST(VisitFrontier, BeginsWithTheFewestThatWillDo) {
  const VisitFrontier frontier({{kMayNotStand, kMayNotStand, 50}, {20, 10}});
  EXPECT_EQ(frontier.fewest_visits(), 2);
  EXPECT_EQ(frontier.WorthTheVisits(100, 0), 2);
  EXPECT_EQ(frontier.Split(3), (std::vector<int>{2, 1}));
}

}  // namespace
}  // namespace lastreach
