#include "quality/dispersion.h"

#include <gsl/gsl_integration.h>
#include <gtest/gtest.h>

#include <cmath>

namespace lastreach {
namespace {

double Share(double fourier, void* /*nothing*/) { return ExactShareOfLimit(fourier); }

TEST(ExactShareOfLimit, MeanIsItsIntegralOverTime) {
  gsl_integration_workspace* workspace = gsl_integration_workspace_alloc(200);
  for (const double fourier : {1e-6, 1e-3, 0.03, 0.2, 1.5}) {
    gsl_function f{Share, nullptr};
    double integral = 0;
    double error = 0;
    gsl_integration_qag(&f, 0, fourier, 0, 1e-9, 200, GSL_INTEG_GAUSS31, workspace, &integral, &error);
    EXPECT_NEAR(ExactMeanShareOfLimit(fourier) * fourier / integral, 1, 1e-7) << fourier;
  }
  gsl_integration_workspace_free(workspace);
}

// 64 SUM mu^-4 = 1/3 makes the early slope 3072 SUM mu^-4 = 16, and 3072 SUM mu^-6 = 1 the limit.
TEST(ExactShareOfLimit, BeginsLikeLeesFormAndEndsAtTaylorsLimit) {
  for (const double fourier : {1e-9, 1e-7}) {
    EXPECT_NEAR(ExactShareOfLimit(fourier) / (16 * fourier), 1, 2e-5);
    EXPECT_NEAR(LeeShareOfLimit(fourier) / (16 * fourier), 1, 2e-5);
    EXPECT_NEAR(ExactMeanShareOfLimit(fourier) / (8 * fourier), 1, 2e-5);
  }
  EXPECT_NEAR(ExactShareOfLimit(5), 1, 1e-12);
  EXPECT_EQ(ExactShareOfLimit(0), 0);
  EXPECT_EQ(ExactMeanShareOfLimit(0), 0);
}

TEST(LeeShareOfLimit, IsNeverMoreThanStatedAboveTheExact) {
  double most = 0;
  for (double fourier = 1e-4; fourier < 2; fourier *= 1.05) {
    const double above = LeeShareOfLimit(fourier) - ExactShareOfLimit(fourier);
    EXPECT_GE(above, 0);
    most = std::max(most, above);
  }
  EXPECT_LT(most, 0.0225);
  EXPECT_GT(most, 0.021);
}

TEST(ShearedLength, InOneFlowFromRestIsLeesForm) {
  constexpr double kRadius = 0.0762;
  constexpr double kVelocity = 0.001;
  constexpr double kDiffusivity = 1.2e-9;
  const double limit = TaylorArisDispersion_m2_per_s(kRadius, kVelocity, kDiffusivity) - kDiffusivity;
  for (const double seconds : {60.0, 3600.0, 86400.0, 1e7}) {
    const double dispersion = kVelocity * ShearedLength_m(0, kRadius, kVelocity, kDiffusivity, seconds);
    EXPECT_NEAR(dispersion / (limit * LeeShareOfLimit(kDiffusivity * seconds / (kRadius * kRadius))), 1,
                1e-12);
  }
  // Cut anywhere it is the same, and a long pause forgets.
  const double cut = ShearedLength_m(ShearedLength_m(0, kRadius, kVelocity, kDiffusivity, 1000), kRadius,
                                     kVelocity, kDiffusivity, 5000);
  EXPECT_NEAR(cut, ShearedLength_m(0, kRadius, kVelocity, kDiffusivity, 6000), 1e-14);
  EXPECT_NEAR(ShearedLength_m(cut, kRadius, 0, kDiffusivity, 1e8), 0, 1e-9);
}

// COMPUTED by hand: 0.15 m, 0.3 m/s, nu 1e-6: Re 45,000, f 0.021724, u* 0.015633 m/s.
TEST(TurbulentDispersion, IsTaylorsTenTimesRadiusAndShearVelocity) {
  const double friction = SmoothFrictionFactor(45000);
  EXPECT_NEAR(friction, 0.021724, 5e-6);
  EXPECT_NEAR(TurbulentDispersion_m2_per_s(0.075, 0.3, friction), 10.1 * 0.075 * 0.015633, 2e-6);
}

}  // namespace
}  // namespace lastreach
