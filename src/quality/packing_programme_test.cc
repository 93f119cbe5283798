#include "quality/packing_programme.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>

namespace lastreach {
namespace {

// By hand: both rows bind at 1/3, 2 x 1/3 + 1/3 = 1.
TEST(PackingWeights, BalanceTwoDemandsThatMeet) {
  const std::vector<double> gain{1, 1}, pull{2, 1, 1, 2};
  const std::vector<double> weight = PackingWeights(gain, pull);
  ASSERT_EQ(weight.size(), 2u);
  EXPECT_NEAR(weight[0], 1.0 / 3, 1e-9);
  EXPECT_NEAR(weight[1], 1.0 / 3, 1e-9);
  EXPECT_NEAR(GainPerLoad(gain, pull, weight), 2.0 / 3, 1e-9);
}

TEST(PackingWeights, LeaveOutWhatCostsMoreThanItGains) {
  const std::vector<double> weight = PackingWeights(std::vector<double>{1, -2}, std::vector<double>{4, 1});
  EXPECT_NEAR(weight[0], 0.25, 1e-9);
  EXPECT_EQ(weight[1], 0);
}

TEST(GainPerLoad, IsNothingForNoWeightAndDoesNotChangeWithTheirScale) {
  const std::vector<double> gain{1, 3}, pull{2, 1, 1, 4};
  EXPECT_EQ(GainPerLoad(gain, pull, std::vector<double>{0, 0}), 0);
  EXPECT_DOUBLE_EQ(GainPerLoad(gain, pull, std::vector<double>{1, 1}), 4.0 / 5);
  EXPECT_DOUBLE_EQ(GainPerLoad(gain, pull, std::vector<double>{10, 10}), 4.0 / 5);
}

// Weak duality: whatever flow meets every demand costs at least what any weights prove; and the programme's
// weights are not beaten by weights climbed to.
TEST(PackingWeights, AreNotBeatenAndNeverProveMoreThanAFlowThatMeetsAllDemands) {
  std::mt19937_64 random(7);
  const auto number = [&](double low, double high) {
    return std::uniform_real_distribution<>(low, high)(random);
  };
  for (int trial = 0; trial < 40; ++trial) {
    SCOPED_TRACE(trial);
    const std::size_t count = 2 + static_cast<std::size_t>(trial) % 7;
    std::vector<double> gain(count), pull(count * count);
    for (double& g : gain) g = number(-0.5, 2);
    for (double& p : pull) p = number(0, 1) < 0.3 ? 0 : number(0.1, 2);
    for (std::size_t k = 0; k < count; ++k) pull[k * count + k] = 1;
    const double best = GainPerLoad(gain, pull, PackingWeights(gain, pull));
    // A flow for each row, raised until every column's demand is met.
    for (int flows = 0; flows < 20; ++flows) {
      std::vector<double> flow(count);
      for (double& f : flow) f = number(0, 1);
      double scale = 0;
      for (std::size_t k = 0; k < count; ++k) {
        double met = 0;
        for (std::size_t m = 0; m < count; ++m) met += pull[m * count + k] * flow[m];
        scale = std::max(scale, gain[k] / met);
      }
      double cost = 0;
      for (const double f : flow) cost += f * scale;
      ASSERT_LE(best, cost * (1 + 1e-9));
    }
    std::vector<double> climbed(count, 1);
    for (int step = 0; step < 2000; ++step) {
      std::vector<double> tried = climbed;
      tried[static_cast<std::size_t>(step) % count] *= number(0, 2);
      if (GainPerLoad(gain, pull, tried) > GainPerLoad(gain, pull, climbed)) climbed = tried;
    }
    ASSERT_GE(best, GainPerLoad(gain, pull, climbed) * (1 - 1e-9));
  }
}

}  // namespace
}  // namespace lastreach
