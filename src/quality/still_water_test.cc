#include "quality/still_water.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace lastreach {
namespace {

// The series itself, term by term, roots by bisection between the zeros they lie between: the slow oracle.
double SeriesShareLeft(double biot, double fourier) {
  const auto excess = [&](double lam) { return lam * ::j1(lam) - biot * ::j0(lam); };
  double share = 0;
  double low = 0;
  for (int n = 1; n < 20000; ++n) {
    // One root in each interval between successive zeros of J1, which are n pi + pi/4 to within 0.05.
    double high =
        n * std::numbers::pi + std::numbers::pi / 4 - 3 / (8 * (n * std::numbers::pi + std::numbers::pi / 4));
    for (int k = 0; k < 40; ++k) {  // Newton on J1: J1' = J0 - J1 / x
      high -= ::j1(high) / (::j0(high) - ::j1(high) / high);
    }
    double a = low;
    double b = high;
    const bool rises = excess(b) > 0;
    for (int k = 0; k < 200; ++k) {
      const double middle = (a + b) / 2;
      ((excess(middle) > 0) == rises ? b : a) = middle;
    }
    const double square = a * a;
    const double term = 4 * biot * biot / (square * (square + biot * biot)) * std::exp(-square * fourier);
    share += term;
    if (square * fourier > 40) break;
    low = high;
  }
  return share;
}

TEST(StillWater, AgreesWithTheSeriesOverTheRangeOfWallsAndTimes) {
  for (const double biot : {1e-4, 1e-2, 0.3, 1.0, 7.0, 60.0, 700.0, 1e4}) {
    const StillWater still(biot);
    // From T = 1e-6 (half a minute in a 150 mm pipe) on; below 1e-5 the series needs thousands of terms.
    for (double fourier = 1e-5; fourier < 30; fourier *= 1.7) {
      const double series = -std::log(SeriesShareLeft(biot, fourier));
      // The sum of the series is rounded at about 1e-15 x terms, which its logarithm keeps.
      EXPECT_NEAR(still.LogLoss(fourier), series, 1e-7 * series + 1e-11) << "Bi " << biot << " T " << fourier;
    }
  }
}

// SOURCE: an absorbing wall, late: Sh = j01^2 = 5.783186 with rate 4 Sh D / d^2 = Sh D / a^2.
TEST(StillWater, LosesAtTheRateOfTheFirstModeLate) {
  const StillWater still(1e7);
  EXPECT_NEAR(still.LogLoss(3) - still.LogLoss(2), 5.783186, 1e-5);
}

// SOURCE: share lost in a 150 mm pipe in 1, 6, 24, 72 h to an absorbing wall: 6, 15, 29, 47 % (worked out
// apart from this code with D = 1.2e-9 m2/s).
TEST(StillWater, LosesTheSharesWorkedOutFor150Millimetres) {
  const StillWater still(1e7);
  struct {
    double hours, per_cent;
  } constexpr kCases[] = {{1, 6}, {6, 15}, {24, 29}, {72, 47}};
  for (const auto& c : kCases) {
    const double fourier = 1.2e-9 * c.hours * 3600 / (0.075 * 0.075);
    EXPECT_NEAR(100 * (1 - std::exp(-still.LogLoss(fourier))), c.per_cent, 0.8) << c.hours;
  }
}

TEST(StillWater, FollowsTheSquareRootLawEarly) {
  const StillWater still(1e7);
  for (const double fourier : {1e-5, 1e-4, 5e-4}) {
    const double lost = 1 - std::exp(-still.LogLoss(fourier));
    EXPECT_LT(lost, EarlyAbsorbedShare(fourier));
    EXPECT_NEAR(lost / EarlyAbsorbedShare(fourier), 1, 0.0101);
  }
}

// A weak wall is not limited by diffusion: the rate is 4 k_w / d, that is 2 Bi in units of D / a^2.
TEST(StillWater, OfAWeakWallIsWellMixed) {
  const StillWater still(1e-4);
  EXPECT_NEAR(still.LogLoss(0.5) / (2e-4 * 0.5), 1, 1e-4);
}

TEST(StillWater, LosesMoreWithTimeButEverMoreSlowly) {
  for (const double biot : {0.05, 3.0, 500.0}) {
    const StillWater still(biot);
    double before = 0;
    double rate_before = 1e300;
    for (int k = 1; k <= 3000; ++k) {
      const double loss = still.LogLoss(k * 5e-4);
      const double rate = loss - before;
      EXPECT_GT(rate, 0);
      EXPECT_LE(rate, rate_before * (1 + 1e-6));
      before = loss;
      rate_before = rate;
    }
  }
}

TEST(StillWater, WithoutAWallLosesNothing) { EXPECT_EQ(StillWater(0).LogLoss(5), 0); }

}  // namespace
}  // namespace lastreach
