#include "month/add_up.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <numeric>

namespace lastreach {
namespace {

using testing::ElementsAre;

TEST(AddUp, ThreeThirdsOfAHundredAddUpToAHundred) {
  EXPECT_THAT(RoundToAddUp(std::vector<double>{33.4, 33.4, 33.4}), ElementsAre(34, 33, 33));
  EXPECT_THAT(ShareUnits(100, std::vector<double>{1, 1, 1}), ElementsAre(34, 33, 33));
}

TEST(AddUp, TheLargestRemainderGetsTheUnitLeftOver) {
  EXPECT_THAT(RoundToAddUp(std::vector<double>{10.2, 20.7, 30.6}), ElementsAre(10, 21, 31));
  EXPECT_THAT(RoundToAddUp(std::vector<double>{0.4, 0.4, 0.4}), ElementsAre(1, 0, 0));
}

TEST(AddUp, NothingStaysNothing) {
  EXPECT_THAT(RoundToAddUp({}), ElementsAre());
  EXPECT_THAT(RoundToAddUp(std::vector<double>{0, 0}), ElementsAre(0, 0));
  EXPECT_THAT(ShareUnits(0, std::vector<double>{3, 4}), ElementsAre(0, 0));
}

RC_GTEST_PROP(AddUp, EveryLineIsWithinAUnitAndTheyAddUp, (const std::vector<unsigned>& thousandths)) {
  std::vector<double> values;
  for (const unsigned value : thousandths) values.push_back(1e-3 * value);
  const std::vector<int64_t> units = RoundToAddUp(values);
  const double sum = std::accumulate(values.begin(), values.end(), 0.0);
  RC_ASSERT(std::accumulate(units.begin(), units.end(), int64_t{0}) == std::llround(sum));
  for (size_t i = 0; i < values.size(); ++i) {
    // The rounded sum moves each share by up to half a unit in all.
    RC_ASSERT(std::abs(static_cast<double>(units[i]) - values[i]) < 1.5);
    RC_ASSERT(units[i] >= 0);
  }
}

}  // namespace
}  // namespace lastreach
