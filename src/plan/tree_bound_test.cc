#include "plan/tree_bound.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

#include "plan/joint_bleed.h"
#include "plan/random_trees.h"
#include "quality/steady_bound.h"
#include "quality/transport.h"

namespace lastreach {
namespace {

constexpr double kDay = 86400;
const std::vector<double> kOneDay{0, kDay};
const std::vector<double> kAlways{1};

std::vector<double> Hours() {
  std::vector<double> hours;
  for (int hour = 0; hour <= 24; ++hour) hours.push_back(hour * 3600.0);
  return hours;
}

// Nobody draws: all of the tree's water must be new within the budget, V / T, and the joint bleed does it.
TEST(ProvenTreeFloor, IsExactWhereNobodyDrawsAndAllEndsAskAlike) {
  for (uint64_t seed = 1; seed <= 10; ++seed) {
    const TreeShape shape = MakeRandomTree(seed, 4, true, false);
    double volume = 0;
    for (const TreeShape::Stretch& s : shape.stretches) volume += s.volume_m3;
    const double floor = ProvenTreeFloor_m3_per_s(shape, kOneDay, kAlways);
    const double exact = volume * shape.stretches[0].loss_per_s;
    EXPECT_LE(floor, exact * (1 + 1e-9)) << seed;
    EXPECT_GT(floor, exact * 0.99) << seed;
    EXPECT_NEAR(SolveJointBleed(shape)->total_m3_per_s / exact, 1, 1e-6) << seed;
  }
}

TEST(ProvenTreeFloor, OfOneReachIsTheReachsOwn) {
  Branch branch;
  TreeShape shape;
  for (size_t j = 0; j < 4; ++j) {
    branch.segments.push_back({.length_m = 90,
                               .diameter_m = 0.15,
                               .tap_demand_m3_per_s = 2e-6 * static_cast<double>(j),
                               .bulk_per_s = 0.6 / kDay});
    shape.stretches.push_back({j > 0 ? std::optional<size_t>(j - 1) : std::nullopt,
                               branch.segments[j].volume_m3(), 0.6 / kDay, 2e-6 * static_cast<double>(j)});
  }
  shape.ends.push_back({3, 0.9});
  const double floor = ProvenTreeFloor_m3_per_s(shape, Hours(), kHouseholdHours);
  EXPECT_NEAR(floor / FloorOfEndFlow(branch, 0.9, Hours(), kHouseholdHours)->proven_m3_per_s, 1, 1e-12);
}

TEST(ProvenTreeFloor, IsNeverAboveWhatConstantFlowsDoWith) {
  for (uint64_t seed = 1; seed <= 12; ++seed) {
    const TreeShape shape = MakeRandomTree(seed, 4, seed % 2 == 0);
    EXPECT_LE(ProvenTreeFloor_m3_per_s(shape, kOneDay, kAlways),
              SolveJointBleed(shape)->total_m3_per_s * (1 + 1e-9))
        << seed;
  }
}

// The transport of the way to one end of a tree, all devices by the hour of the day.
double LowestAtEnd(const TreeShape& shape, size_t end, const std::vector<std::vector<double>>& flow,
                   int days) {
  std::vector<size_t> way = shape.WayTo(shape.ends[end]);
  std::reverse(way.begin(), way.end());
  const std::vector<double> beyond = shape.DemandBeyond();
  Branch branch;
  for (size_t k = 0; k < way.size(); ++k) {
    const TreeShape::Stretch& s = shape.stretches[way[k]];
    const double next = k + 1 < way.size() ? beyond[way[k + 1]] : 0;
    branch.segments.push_back({.length_m = s.volume_m3 / (std::numbers::pi / 4 * 0.01),
                               .diameter_m = 0.1,
                               .tap_demand_m3_per_s = std::max(0.0, beyond[way[k]] - next),
                               .bulk_per_s = s.loss_per_s});
  }
  BranchDrive drive;
  drive.time_s.push_back(0);
  for (size_t other = 0; other < flow.size(); ++other) {
    if (other == end) continue;
    const std::vector<size_t> its = shape.WayTo(shape.ends[other]);
    size_t shared = 0;
    while (std::find(its.begin(), its.end(), way[shared]) != its.end()) ++shared;
    drive.side_draws.push_back({shared - 1, {}});
  }
  for (int hour = 0; hour < days * 24; ++hour) {
    const auto of_day = static_cast<size_t>(hour % 24);
    drive.time_s.push_back((hour + 1) * 3600.0);
    drive.demand_factor.push_back(kHouseholdHours[of_day]);
    drive.end_flow_m3_per_s.push_back(flow[end][of_day]);
    size_t k = 0;
    for (size_t other = 0; other < flow.size(); ++other) {
      if (other != end) drive.side_draws[k++].flow_m3_per_s.push_back(flow[other][of_day]);
    }
  }
  drive.root_mg_per_l.assign(drive.time_s.size(), 1);
  return LowestResiduals(branch, drive, (days - 1) * kDay, days * kDay).back().lowest_mg_per_l;
}

// Schedules of all kinds, each made just large enough that every end holds: none does with less.
TEST(ProvenTreeFloor, IsNeverBeatenByASchedule) {
  double nearest = 1e300;
  for (uint64_t seed = 1; seed <= 12; ++seed) {
    SCOPED_TRACE(seed);
    const TreeShape shape = MakeRandomTree(seed, 3, seed % 3 != 0);
    const double floor = ProvenTreeFloor_m3_per_s(shape, Hours(), kHouseholdHours);
    const JointBleed bleed = *SolveJointBleed(shape);
    std::mt19937_64 random(seed);
    for (int schedule = 0; schedule < 12; ++schedule) {
      std::vector<std::vector<double>> flow(shape.ends.size(), std::vector<double>(24, 0));
      for (size_t e = 0; e < flow.size(); ++e) {
        const double base = bleed.flow_m3_per_s[e] + 1e-7;
        for (size_t hour = 0; hour < 24; ++hour) {
          const double lean = 1.5 - 0.5 * kHouseholdHours[hour];
          const double chance = std::uniform_real_distribution<>(0, 1)(random);
          flow[e][hour] = base * (schedule == 0   ? 1
                                  : schedule == 1 ? lean
                                  : schedule < 6  ? lean * (0.5 + chance)
                                                  : (chance < 0.3 ? 4 : 0));
        }
      }
      const auto scaled = [&](double scale) {
        std::vector<std::vector<double>> more = flow;
        for (auto& device : more) {
          for (double& f : device) f *= scale;
        }
        return more;
      };
      const auto holds = [&](double scale) {
        for (size_t e = 0; e < shape.ends.size(); ++e) {
          if (LowestAtEnd(shape, e, scaled(scale), 8) < std::exp(-shape.ends[e].log_budget)) return false;
        }
        return true;
      };
      double high = 1;
      while (!holds(high) && high < 1e4) high *= 2;
      if (high >= 1e4) continue;
      double low = 0;
      for (int k = 0; k < 30; ++k) (holds((low + high) / 2) ? high : low) = (low + high) / 2;
      double mean = 0;
      for (const auto& device : scaled(high)) {
        for (const double f : device) mean += f / 24;
      }
      ASSERT_GE(mean, floor * (1 - 1e-9));
      if (floor > 0) nearest = std::min(nearest, mean / floor);
    }
  }
  EXPECT_LT(nearest, 1.1);  // and some come near it
}

}  // namespace
}  // namespace lastreach
