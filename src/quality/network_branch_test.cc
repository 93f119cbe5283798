#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "quality/flow_script.h"
#include "quality/particle_oracle.h"
#include "quality/transport.h"

// The exact transport along a branch and that over a network are two programs with no line in common but the
// loss laws. The same branch must come out the same.
namespace lastreach {
namespace {

constexpr double kDay_s = 86400;

// A branch as a network: the root a source of 1 mg/L, a node a tap. What cannot be said in a network, a root
// that moves and a bulk rate that follows the day, is taken out of the case.
struct BranchTown {
  ScriptedNetwork town;
  BranchDrive drive;
  std::vector<std::vector<double>> flows;

  explicit BranchTown(const RandomCase& random) : drive(random.drive) {
    std::fill(drive.root_mg_per_l.begin(), drive.root_mg_per_l.end(), 1.0);
    drive.bulk_factor.clear();
    NodeIndex upper = town.AddSource(1);
    const Kinetics kinetics;
    town.network.options.viscosity_m2_per_s = kinetics.viscosity_m2_per_s;
    town.network.options.diffusivity_m2_per_s = kinetics.diffusivity_m2_per_s;
    std::vector<double> beyond;
    for (const BranchSegment& segment : random.branch.segments) {
      const NodeIndex tap = town.AddNode();
      const LinkIndex pipe = town.AddPipe(upper, tap, segment.volume_m3(), segment.diameter_m);
      town.network[pipe].bulk_per_day = segment.bulk_per_s * kDay_s;
      town.network[pipe].wall_m_per_day = segment.wall_m_per_s * kDay_s;
      for (double& sum : beyond) sum += segment.tap_demand_m3_per_s;
      beyond.push_back(segment.tap_demand_m3_per_s);
      upper = tap;
    }
    for (std::size_t i = 0; i < drive.steps(); ++i) {
      std::vector<double>& flow = flows.emplace_back();
      for (const double taps : beyond)
        flow.push_back(drive.demand_factor[i] * taps + drive.end_flow_m3_per_s[i]);
    }
  }
  NetworkQualityOptions Options() const {
    return {
        .tolerance = 0, .initial_chlorine_mg_per_l = drive.initial_mg_per_l, .still_below_m3_per_s = 1e-14};
  }
};

// At the end of each step but where a front is just passing: then either side will do, as it is rounding that
// decides. Fronts are where the answer a moment before or after is another.
TEST(NetworkTransport, OfABranchIsTheExactTransportAlongIt) {
  std::size_t checked = 0;
  for (uint64_t seed = 1; seed <= 300; ++seed) {
    SCOPED_TRACE(seed);
    const RandomCase random = MakeRandomCase(seed, false);
    const BranchTown branch(random);
    Result<NetworkTransport> transport = NetworkTransport::Make(branch.town.network, branch.Options());
    FlowScript script(branch.town.network);
    const std::size_t taps = random.branch.segments.size();
    const std::size_t steps = branch.drive.steps();
    std::vector<std::vector<double>> age_s, residual;
    for (std::size_t i = 0; i < steps; ++i) {
      const double seconds = branch.drive.time_s[i + 1] - branch.drive.time_s[i];
      ASSERT_TRUE(transport->Advance(script.Next(seconds, branch.flows[i])).ok());
      transport->ReadNodes(Quantity::kAge, age_s.emplace_back(taps + 1));
      transport->ReadNodes(Quantity::kChlorine, residual.emplace_back(taps + 1));
    }
    std::vector<double> times;  // just before each end, and the end
    for (std::size_t i = 0; i < steps; ++i) {
      times.push_back(std::max(branch.drive.time_s[i], branch.drive.time_s[i + 1] - 1e-3));
      times.push_back(branch.drive.time_s[i + 1]);
    }
    for (std::size_t tap = 0; tap < taps; ++tap) {
      const std::vector<TapWater> exact = WaterAt(random.branch, branch.drive, tap, times);
      bool has_moved = false;
      for (std::size_t i = 0; i < steps; ++i) {
        // Before water first moves a network cannot know from where it would be drawn.
        has_moved = has_moved || branch.flows[i][tap] > 0;
        const TapWater& before = exact[2 * i];
        const TapWater& at = exact[2 * i + 1];
        const bool at_front = std::abs(before.age_s - at.age_s) > 1 || before.is_initial != at.is_initial;
        if (!has_moved || at_front) continue;
        ++checked;
        EXPECT_NEAR(residual[i][tap + 1], at.mg_per_l, 1e-9) << "tap " << tap << " step " << i;
        EXPECT_NEAR(age_s[i][tap + 1], at.age_s, 1e-3) << "tap " << tap << " step " << i;
      }
    }
    if (testing::Test::HasFailure()) return;
  }
  EXPECT_GT(checked, 10000u);
}

// Over a window that begins and ends with steps, the lowest residual and the greatest age at every tap.
TEST(NetworkTransport, OfABranchHasTheLowestResidualsOfTheExactTransport) {
  std::size_t checked = 0;
  for (uint64_t seed = 1; seed <= 300; ++seed) {
    SCOPED_TRACE(seed);
    const RandomCase random = MakeRandomCase(seed, false);
    const BranchTown branch(random);
    Result<NetworkTransport> transport = NetworkTransport::Make(branch.town.network, branch.Options());
    FlowScript script(branch.town.network);
    const std::size_t steps = branch.drive.steps();
    const std::size_t first = steps / 2;
    for (std::size_t i = 0; i < steps; ++i) {
      if (i == first) transport->BeginSpan();
      const double seconds = branch.drive.time_s[i + 1] - branch.drive.time_s[i];
      ASSERT_TRUE(transport->Advance(script.Next(seconds, branch.flows[i])).ok());
    }
    const std::vector<TapLow> exact =
        LowestResiduals(random.branch, branch.drive, branch.drive.time_s[first], branch.drive.time_s[steps]);
    const SpanStatistics residual = transport->Span(Quantity::kChlorine);
    for (std::size_t tap = 0; tap < exact.size(); ++tap) {
      EXPECT_NEAR(residual.lowest[tap + 1], exact[tap].lowest_mg_per_l, 1e-9) << tap;
      ++checked;
    }
    const SpanStatistics age = transport->Span(Quantity::kAge);
    for (std::size_t tap = 0; tap < exact.size(); ++tap) {
      EXPECT_NEAR(age.greatest[tap + 1], exact[tap].greatest_age_s, 1e-2) << tap;
    }
    if (testing::Test::HasFailure()) return;
  }
  EXPECT_GT(checked, 600u);
}

}  // namespace
}  // namespace lastreach
