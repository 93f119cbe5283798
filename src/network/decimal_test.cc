#include "network/decimal.h"

#include <gtest/gtest.h>

#include <bit>
#include <cmath>
#include <limits>
#include <random>

namespace lastreach {
namespace {

TEST(Decimal, ReadsWhatATableHolds) {
  EXPECT_EQ(ParseDecimal("12.5"), 12.5);
  EXPECT_EQ(ParseDecimal(" -0.5\r"), -0.5);
  EXPECT_EQ(ParseDecimal(".5"), 0.5);
  EXPECT_EQ(ParseDecimal("5."), 5.0);
  EXPECT_EQ(ParseDecimal("+3"), 3.0);
  EXPECT_EQ(ParseDecimal("1.004E-06"), 1.004e-6);
}

TEST(Decimal, RefusesWhatIsNoNumber) {
  for (const char* text : {"", " ", "abc", "nan", "inf", "-inf", "1,5", "0x10", "1e", "1e400", "--1", "1 2",
                           "+-1", "1e+-1", "1e1e1", "12 m", ".", "-", "1e99999999999"}) {
    EXPECT_EQ(ParseDecimal(text), std::nullopt) << text;
  }
}

// 0.3 x 1000 / 1000 is not 0.3 in binary for every number; the text's point moves without a rounding.
TEST(Decimal, MovesThePointWithoutRounding) {
  EXPECT_EQ(ParseDecimal("300", -3), 0.3);
  EXPECT_EQ(ParseDecimal("4.35", -3), 0.00435);
  EXPECT_EQ(ParseDecimal("1e3", -3), 1.0);
  EXPECT_EQ(ToDecimal(0.3, 3), "300");
  EXPECT_EQ(ToDecimal(0.00435, 3), "4.35");
}

TEST(Decimal, IsWrittenPlainlyWhereThatIsShort) {
  EXPECT_EQ(ToDecimal(0), "0");
  EXPECT_EQ(ToDecimal(-12.5), "-12.5");
  EXPECT_EQ(ToDecimal(1000), "1000");
  EXPECT_EQ(ToDecimal(0.001), "0.001");
  EXPECT_EQ(ToDecimal(1.004e-6), "1.004e-6");
  EXPECT_EQ(ToDecimal(1e22), "1e22");
}

TEST(Decimal, EveryNumberReadsBackEqualAtEveryShift) {
  std::mt19937_64 random(20260703);
  for (int i = 0; i < 200000; ++i) {
    const double value = std::bit_cast<double>(random());
    // At a shift, what falls off either end of the numbers cannot come back.
    if (!std::isfinite(value) || std::abs(value) < 1e-290 || std::abs(value) > 1e290) continue;
    for (const int shift : {0, 3, -3})
      ASSERT_EQ(ParseDecimal(ToDecimal(value, shift), -shift), value) << value;
  }
  EXPECT_EQ(ParseDecimal(ToDecimal(std::numeric_limits<double>::denorm_min())),
            std::numeric_limits<double>::denorm_min());
}

}  // namespace
}  // namespace lastreach
