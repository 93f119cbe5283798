#include "evidence/share_curve.h"

#include <gtest/gtest.h>

#include <cmath>

#include "quality/particle_oracle.h"
#include "quality/transport.h"

namespace lastreach {
namespace {

// A drive whose root is 1 throughout, so that the residual is the share left.
RandomCase CaseWithSteadyRoot(uint64_t seed) {
  RandomCase random = MakeRandomCase(seed, false, seed % 3 == 0);
  random.drive.root_mg_per_l.assign(random.drive.time_s.size(), 1.0);
  random.drive.initial_mg_per_l = 0;
  return random;
}

std::vector<double> TimesOf(const BranchDrive& drive, int count) {
  std::vector<double> times;
  const double span = drive.time_s.back() - drive.time_s.front();
  for (int i = 1; i < count; ++i) times.push_back(drive.time_s.front() + span * (i + 0.137) / count);
  return times;
}

TEST(ShareCurve, WithoutSpreadIsTheTransport) {
  for (uint64_t seed = 1; seed <= 60; ++seed) {
    const RandomCase random = CaseWithSteadyRoot(seed);
    const std::vector<double> times = TimesOf(random.drive, 40);
    const BranchDrive drive = WithInstants(random.drive, times);
    const std::size_t end = random.branch.segments.size() - 1;
    const std::vector<double> expected = ResidualsAt(random.branch, random.drive, end, times);
    const ShareCurve curve(random.branch, drive, {});
    for (std::size_t i = 0; i < times.size(); ++i)
      EXPECT_NEAR(curve.ShareAt({.time_s = times[i]}), expected[i], 1e-6) << "seed " << seed << ", " << i;
  }
}

// The closed form against a sum over 4,000 slices of the transport.
TEST(ShareCurve, SpreadIsTheWeightedMeanOfTheTransport) {
  Branch branch;
  for (const double length : {120.0, 80.0, 150.0})
    branch.segments.push_back({length, 0.15, 4e-6, 0.8 / 86400, 0.02 / 86400});
  BranchDrive drive;
  drive.time_s = {0, 7200, 90000, 97200};
  drive.demand_factor = {1, 0.7, 1.2};
  drive.end_flow_m3_per_s = {0.003, 0, 0.003};
  drive.root_mg_per_l.assign(4, 1.0);
  const ShareCurve curve(branch, drive, {});
  constexpr double kSpread_s = 60;
  for (const double t : {90030.0, 91000.0, 91900.0, 92000.0, 92100.0, 93000.0}) {
    std::vector<double> times;
    for (int i = 0; i < 4000; ++i) {
      const double u = t + kSpread_s * 5 * (2 * (i + 0.5) / 4000 - 1);
      if (u >= 90000 && u <= 97200) times.push_back(u);
    }
    const std::vector<double> shares = ResidualsAt(branch, drive, 2, times);
    double sum = 0;
    double weight = 0;
    for (std::size_t i = 0; i < times.size(); ++i) {
      const double w = std::exp(-std::pow((times[i] - t) / kSpread_s, 2) / 2);
      sum += w * shares[i];
      weight += w;
    }
    EXPECT_NEAR(curve.ShareAt({t, kSpread_s, 90000, 97200}), sum / weight, 5e-4) << t;
  }
}

TEST(ShareCurve, KnowsWaterThatWasThereAtTheBegin) {
  Branch branch;
  branch.segments.push_back({100, 0.15, 0, 1e-6, 0});
  BranchDrive drive;
  drive.time_s = {0, 3600};
  drive.demand_factor = {1};
  drive.end_flow_m3_per_s = {0.001};
  drive.root_mg_per_l = {1, 1};
  const double comes_s = branch.segments[0].volume_m3() / 0.001;
  const ShareCurve curve(branch, drive, {});
  EXPECT_TRUE(curve.IsInitialAt(comes_s - 1));
  EXPECT_EQ(curve.ShareAt({.time_s = comes_s - 1}), 0);
  EXPECT_FALSE(curve.IsInitialAt(comes_s + 1));
  EXPECT_GT(curve.ShareAt({.time_s = comes_s + 1}), 0.99);
}

}  // namespace
}  // namespace lastreach
