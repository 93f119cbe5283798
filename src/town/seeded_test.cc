#include "town/seeded.h"

#include <gtest/gtest.h>

namespace lastreach {
namespace {

// SOURCE: first outputs of SplitMix64 for seed 1234567, as printed with the generator's public reference
// programs; from memory.
TEST(Seeded, GivesThePublishedSequence) {
  Seeded seeded(1234567);
  EXPECT_EQ(seeded.Next(), 6457827717110365317U);
  EXPECT_EQ(seeded.Next(), 3203168211198807973U);
  EXPECT_EQ(seeded.Next(), 9817491932198370423U);
}

TEST(Seeded, WholeNumbersReachBothEndsAndNoFurther) {
  Seeded seeded(7);
  int least = 100, most = -100;
  for (int i = 0; i < 10000; ++i) {
    const int number = seeded.Whole(-3, 4);
    least = std::min(least, number);
    most = std::max(most, number);
  }
  EXPECT_EQ(least, -3);
  EXPECT_EQ(most, 4);
}

// The mean of n bells has standard deviation 1/sqrt(n), and their variance about sqrt(2/n): five of each.
TEST(Seeded, BellHasMeanZeroAndDeviationOne) {
  Seeded seeded(11);
  constexpr int kDraws = 100000;
  double sum = 0, squares = 0;
  for (int i = 0; i < kDraws; ++i) {
    const double bell = seeded.Bell();
    sum += bell;
    squares += bell * bell;
  }
  EXPECT_NEAR(sum / kDraws, 0, 5 / std::sqrt(kDraws));
  EXPECT_NEAR(squares / kDraws, 1, 5 * std::sqrt(2.0 / kDraws));
}

}  // namespace
}  // namespace lastreach
