// Age along a dead end with draws spread evenly (data/published/dead_end_age/SOURCE.md), by the exact
// transport of a branch and by that of a network, with many taps in place of even draws.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "core/quantity.h"
#include "published_table.h"
#include "quality/network_transport.h"
#include "quality/transport.h"

namespace lastreach {
namespace {

constexpr double kLength_m = 300;
constexpr double kDiameter_m = 0.1;
constexpr double kInletVelocity_m_per_s = 0.01;
constexpr double kDays = 10;

double InletFlow_m3_per_s() {
  return std::numbers::pi / 4 * kDiameter_m * kDiameter_m * kInletVelocity_m_per_s;
}

// `taps` evenly spaced, each drawing the same; or all drawn at the last.
Branch DeadEnd(std::size_t taps, bool evenly) {
  const auto n = static_cast<double>(taps);
  Branch branch;
  for (std::size_t j = 0; j < taps; ++j) {
    const double share = evenly ? 1 / n : (j + 1 == taps ? 1 : 0);
    branch.segments.push_back({.length_m = kLength_m / n,
                               .diameter_m = kDiameter_m,
                               .tap_demand_m3_per_s = InletFlow_m3_per_s() * share});
  }
  return branch;
}

double AgeByBranch_h(const Branch& branch, double place_share) {
  const BranchDrive drive{.time_s = {0, kDays * kSecondsPerDay},
                          .demand_factor = {1},
                          .end_flow_m3_per_s = {0},
                          .root_mg_per_l = {1, 1}};
  const auto tap =
      static_cast<std::size_t>(std::lround(place_share * static_cast<double>(branch.segments.size()))) - 1;
  const std::vector<double> at{drive.time_s.back()};
  return WaterAt(branch, drive, tap, at)[0].age_s / kSecondsPerHour;
}

std::vector<double> AgesByNetwork_h(const Branch& branch) {
  Network network;
  std::vector<double> flow;
  std::vector<double> outflow;
  network.nodes.emplace_back().kind = NodeKind::kSource;
  outflow.push_back(-InletFlow_m3_per_s());
  double left = InletFlow_m3_per_s();
  for (const BranchSegment& segment : branch.segments) {
    network.nodes.emplace_back();
    outflow.push_back(segment.tap_demand_m3_per_s);
    Link& link = network.links.emplace_back();
    link.from = static_cast<NodeIndex>(network.nodes.size() - 2);
    link.to = static_cast<NodeIndex>(network.nodes.size() - 1);
    link.length_m.value = segment.length_m;
    link.inner_diameter_m = Sourced<double>{};
    link.inner_diameter_m->value = segment.diameter_m;
    flow.push_back(left);
    left = std::max(left - segment.tap_demand_m3_per_s, 0.0);
  }
  Result<NetworkTransport> transport = NetworkTransport::Make(network, {.chlorine = false});
  EXPECT_TRUE(transport.ok());
  const std::vector<double> none(network.nodes.size(), 0);
  EXPECT_TRUE(transport
                  ->Advance({.begin_s = 0,
                             .end_s = kDays * kSecondsPerDay,
                             .flow_m3_per_s = flow,
                             .outflow_m3_per_s = outflow,
                             .head_m = none,
                             .tank_volume_m3 = none})
                  .ok());
  std::vector<double> ages(network.nodes.size());
  transport->ReadNodes(Quantity::kAge, ages);
  for (double& age : ages) age /= kSecondsPerHour;
  return ages;
}

// With n taps the sum is a Riemann sum of the integral: within 1 / (2 n (1 - x)) of L / v0, and closer by its
// leading term, which is taken off.
TEST(DeadEndAge, WithManyTapsIsTheLogarithm) {
  constexpr std::size_t kTaps = 20000;
  const Branch branch = DeadEnd(kTaps, true);
  const std::vector<double> by_network = AgesByNetwork_h(branch);
  for (const PublishedRow& row :
       ReadPublished("dead_end_age/age.csv", {"place_share", "age_h", "age_without_draws_h"})) {
    const double x = row.at("place_share").value;
    const double scale_h = kLength_m / kInletVelocity_m_per_s / kSecondsPerHour;
    const double leading_h = scale_h / (2 * kTaps) * (1 / (1 - x) - 1);
    const Printed age = row.at("age_h");
    EXPECT_NEAR(AgeByBranch_h(branch, x) + leading_h, age.value, age.half_digit * 1.1) << x;
    EXPECT_NEAR(by_network[static_cast<std::size_t>(std::lround(x * kTaps))] + leading_h, age.value,
                age.half_digit * 1.1)
        << x;
  }
}

TEST(DeadEndAge, WithAllDrawnAtTheEndIsTheDistance) {
  const Branch branch = DeadEnd(100, false);
  for (const PublishedRow& row :
       ReadPublished("dead_end_age/age.csv", {"place_share", "age_without_draws_h"})) {
    const Printed age = row.at("age_without_draws_h");
    EXPECT_NEAR(AgeByBranch_h(branch, row.at("place_share").value), age.value, age.half_digit * 1.01);
  }
}

}  // namespace
}  // namespace lastreach
