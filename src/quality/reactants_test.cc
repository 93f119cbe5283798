#include "quality/reactants.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_odeiv2.h>
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <random>

#include "quality/kinetics.h"

namespace lastreach {
namespace {

struct OdeCase {
  TwoReactantLaw law;
  double wall_per_s;
};

// In ln C, ln F and ln S, so that what hardly is there is held to the same relative error.
int Reaction(double /*time*/, const double* y, double* rate, void* parameters) {
  const OdeCase& c = *static_cast<const OdeCase*>(parameters);
  const double chlorine = std::exp(y[0]);
  rate[0] =
      -c.law.fast_l_per_mg_per_s * std::exp(y[1]) - c.law.slow_l_per_mg_per_s * std::exp(y[2]) - c.wall_per_s;
  rate[1] = -c.law.fast_l_per_mg_per_s * chlorine;
  rate[2] = -c.law.slow_l_per_mg_per_s * chlorine;
  return GSL_SUCCESS;
}

ReactingWater ReactByOde(OdeCase c, const ReactingWater& water, double seconds) {
  std::array<double, 3> y{std::log(water.chlorine_mg_per_l), std::log(water.fast_mg_per_l),
                          std::log(water.slow_mg_per_l)};
  gsl_odeiv2_system system{Reaction, nullptr, 3, &c};
  gsl_odeiv2_driver* driver =
      gsl_odeiv2_driver_alloc_y_new(&system, gsl_odeiv2_step_rk8pd, 1e-3 * seconds, 1e-13, 1e-13);
  double time = 0;
  EXPECT_EQ(gsl_odeiv2_driver_apply(driver, &time, seconds, y.data()), GSL_SUCCESS);
  gsl_odeiv2_driver_free(driver);
  const double used = water.fast_mg_per_l - std::exp(y[1]) + water.slow_mg_per_l - std::exp(y[2]);
  return {std::exp(y[0]), std::exp(y[1]), std::exp(y[2]), water.thm_ug_per_l + c.law.thm_ug_per_mg * used};
}

struct RandomStay {
  OdeCase c;
  ReactingWater water;
  double seconds;
};

double LogUniform(std::mt19937_64& random, double low, double high) {
  return low * std::pow(high / low, static_cast<double>(random() >> 11) * 0x1p-53);
}

// From hardly any reaction to the fast reactant, or the chlorine, long gone: k_F C t from 1e-4 to about 100.
RandomStay MakeStay(std::mt19937_64& random) {
  RandomStay stay;
  stay.c.law = {.fast_l_per_mg_per_s = LogUniform(random, 0.01, 10) / kSecondsPerHour,
                .slow_l_per_mg_per_s = LogUniform(random, 1e-4, 0.1) / kSecondsPerHour,
                .thm_ug_per_mg = 40};
  stay.c.wall_per_s = random() % 3 == 0 ? 0 : LogUniform(random, 1e-3, 1) / kSecondsPerHour;
  stay.water = {LogUniform(random, 0.01, 4), LogUniform(random, 0.01, 4), LogUniform(random, 0.01, 4), 12};
  stay.seconds = LogUniform(random, 60, 20 * kSecondsPerHour);
  return stay;
}

TEST(React, AgreesWithAnOdeSolverFromShortStaysToLongOnes) {
  std::mt19937_64 random(4);
  for (int i = 0; i < 1500; ++i) {
    SCOPED_TRACE(i);
    const RandomStay stay = MakeStay(random);
    const ReactingWater ours = React(stay.c.law, stay.water, stay.c.wall_per_s, stay.seconds);
    const ReactingWater theirs = ReactByOde(stay.c, stay.water, stay.seconds);
    // The ODE solver answers for 1e-13 a step, of up to a thousand.
    EXPECT_NEAR(ours.chlorine_mg_per_l / theirs.chlorine_mg_per_l, 1, 1e-10);
    EXPECT_NEAR(ours.fast_mg_per_l, theirs.fast_mg_per_l, 1e-10 * stay.water.fast_mg_per_l);
    EXPECT_NEAR(ours.slow_mg_per_l, theirs.slow_mg_per_l, 1e-10 * stay.water.slow_mg_per_l);
    EXPECT_NEAR(ours.thm_ug_per_l / theirs.thm_ug_per_l, 1, 1e-10);
    if (HasFailure()) return;
  }
}

TEST(React, CutInTwoIsTheSame) {
  std::mt19937_64 random(5);
  for (int i = 0; i < 2000; ++i) {
    const RandomStay s = MakeStay(random);
    const double first_s = s.seconds * 0x1p-10 * static_cast<double>(random() % 1024);
    const ReactingWater whole = React(s.c.law, s.water, s.c.wall_per_s, s.seconds);
    const ReactingWater between = React(s.c.law, s.water, s.c.wall_per_s, first_s);
    const ReactingWater parts = React(s.c.law, between, s.c.wall_per_s, s.seconds - first_s);
    ASSERT_NEAR(parts.chlorine_mg_per_l / whole.chlorine_mg_per_l, 1, 1e-10) << i;
    ASSERT_NEAR(parts.fast_mg_per_l, whole.fast_mg_per_l, 1e-10 * s.water.fast_mg_per_l) << i;
    ASSERT_NEAR(parts.thm_ug_per_l / whole.thm_ug_per_l, 1, 1e-10) << i;
    ASSERT_LE(whole.chlorine_mg_per_l, between.chlorine_mg_per_l * (1 + 1e-12)) << i;
    ASSERT_LE(whole.fast_mg_per_l, between.fast_mg_per_l * (1 + 1e-12)) << i;
    ASSERT_GE(whole.thm_ug_per_l, between.thm_ug_per_l * (1 - 1e-12)) << i;
    ASSERT_LE(between.chlorine_mg_per_l, s.water.chlorine_mg_per_l) << i;
    ASSERT_GE(whole.chlorine_mg_per_l, 0) << i;
  }
}

TEST(React, WithoutAWallUsesUpAsMuchChlorineAsOfTheReactants) {
  std::mt19937_64 random(6);
  for (int i = 0; i < 2000; ++i) {
    const RandomStay s = MakeStay(random);
    const ReactingWater after = React(s.c.law, s.water, 0, s.seconds);
    const double used =
        s.water.fast_mg_per_l - after.fast_mg_per_l + s.water.slow_mg_per_l - after.slow_mg_per_l;
    ASSERT_NEAR(s.water.chlorine_mg_per_l - after.chlorine_mg_per_l, used, 4e-10) << i;
  }
}

TEST(React, WithOneReactantTheSeriesIsTheClosedForm) {
  std::mt19937_64 random(7);
  for (int i = 0; i < 500; ++i) {
    const RandomStay s = MakeStay(random);
    // A trace of a wall too weak to be seen keeps the series from being passed over.
    const TwoReactantLaw fast_only{.fast_l_per_mg_per_s = s.c.law.fast_l_per_mg_per_s};
    const ReactingWater by_series = React(fast_only, s.water, 1e-300, s.seconds);
    const ReactingWater closed = React(fast_only, s.water, 0, s.seconds);
    ASSERT_NEAR(by_series.chlorine_mg_per_l / closed.chlorine_mg_per_l, 1, 1e-10) << i;
    ASSERT_NEAR(by_series.fast_mg_per_l / closed.fast_mg_per_l, 1, 1e-10) << i;
    ASSERT_EQ(closed.slow_mg_per_l, s.water.slow_mg_per_l);
  }
}

TEST(React, OfWallAloneAndOfNothingIsAsItShould) {
  const TwoReactantLaw law{.fast_l_per_mg_per_s = 1e-4, .slow_l_per_mg_per_s = 1e-6, .thm_ug_per_mg = 40};
  const ReactingWater pure{.chlorine_mg_per_l = 0.5, .thm_ug_per_l = 3};
  EXPECT_NEAR(React(law, pure, 1e-5, 86400).chlorine_mg_per_l, 0.5 * std::exp(-0.864), 1e-14);
  EXPECT_EQ(React(law, pure, 1e-5, 86400).thm_ug_per_l, 3);
  const ReactingWater stale{.fast_mg_per_l = 1, .slow_mg_per_l = 2};
  EXPECT_EQ(React(law, stale, 1e-5, 1e9), stale);
  const ReactingWater water{1, 1, 1, 1};
  EXPECT_EQ(React(law, water, 1e-5, 0), water);
  // A year beside more reactant than chlorine: next to nothing is left, and no less.
  const double left = React(law, {1, 3, 3, 0}, 0, 3.15e7).chlorine_mg_per_l;
  EXPECT_GE(left, 0);
  EXPECT_LT(left, 1e-12);
}

// From hardly anything to far more than water holds, from seconds to a year.
TEST(React, StaysSoundAtTheExtremes) {
  std::mt19937_64 random(8);
  for (int i = 0; i < 3000; ++i) {
    SCOPED_TRACE(i);
    const TwoReactantLaw law{.fast_l_per_mg_per_s = LogUniform(random, 1e-9, 1),
                             .slow_l_per_mg_per_s = LogUniform(random, 1e-12, 1e-3),
                             .thm_ug_per_mg = 40};
    const ReactingWater water{LogUniform(random, 1e-12, 100), LogUniform(random, 1e-12, 1e3),
                              LogUniform(random, 1e-12, 1e3), 0};
    const double seconds = LogUniform(random, 1, 3e7);
    const ReactingWater after = React(law, water, 0, seconds);
    const double used = water.fast_mg_per_l - after.fast_mg_per_l + water.slow_mg_per_l - after.slow_mg_per_l;
    ASSERT_GE(after.chlorine_mg_per_l, 0);
    ASSERT_NEAR(water.chlorine_mg_per_l - after.chlorine_mg_per_l, used,
                1e-9 * (water.chlorine_mg_per_l + water.fast_mg_per_l + water.slow_mg_per_l));
    const ReactingWater by_wall = React(law, water, LogUniform(random, 1e-9, 1e-2), seconds);
    ASSERT_GE(by_wall.chlorine_mg_per_l, 0);
    ASSERT_LE(by_wall.chlorine_mg_per_l, after.chlorine_mg_per_l + 1e-9 * water.chlorine_mg_per_l);
  }
}

TEST(ChlorineBesideOneReactant, IsSmoothThroughEqualAmounts) {
  const double at = ChlorineBesideOneReactant(1, 1, 1e-4, 20000);
  EXPECT_NEAR(at, 1.0 / 3, 1e-15);
  for (const double aside : {1e-3, 1e-6, 1e-9, 1e-12}) {
    const double below = ChlorineBesideOneReactant(1, 1 - aside, 1e-4, 20000);
    const double above = ChlorineBesideOneReactant(1, 1 + aside, 1e-4, 20000);
    EXPECT_NEAR((below + above) / 2, at, aside * aside + 1e-15);
  }
}

TEST(LawAt, ScalesEachRateByItsOwnEnergy) {
  const Temperature warm = Temperature::Celsius(28);
  const TwoReactantLaw law = LawAt({1e-4, 1e-6, 40}, 6000, 9000, warm);
  EXPECT_DOUBLE_EQ(law.fast_l_per_mg_per_s, 1e-4 * RateFactor(6000, warm));
  EXPECT_DOUBLE_EQ(law.slow_l_per_mg_per_s, 1e-6 * RateFactor(9000, warm));
  EXPECT_EQ(law.thm_ug_per_mg, 40);
}

TEST(MixStreams, WeighsByFlow) {
  const std::array<ReactingWater, 2> streams{ReactingWater{1, 2, 3, 4}, ReactingWater{5, 6, 7, 8}};
  const std::array<double, 2> flows{3e-3, 1e-3};
  const ReactingWater mixed = MixStreams(streams, flows);
  EXPECT_DOUBLE_EQ(mixed.chlorine_mg_per_l, 2);
  EXPECT_DOUBLE_EQ(mixed.fast_mg_per_l, 3);
  EXPECT_DOUBLE_EQ(mixed.slow_mg_per_l, 4);
  EXPECT_DOUBLE_EQ(mixed.thm_ug_per_l, 5);
}

TEST(CheckTwoReactants, NamesWhatIsBelowZero) {
  EXPECT_TRUE(CheckTwoReactants({1e-4, 1e-6, 40}, {1, 1, 1, 0}).ok());
  const Status status = CheckTwoReactants({1e-4, -1, 40}, {1, 1, 1, 0});
  ASSERT_FALSE(status.ok());
  EXPECT_NE(status.error().ToString().find("slow"), std::string::npos);
  EXPECT_FALSE(CheckTwoReactants({}, {.chlorine_mg_per_l = NAN}).ok());
}

}  // namespace
}  // namespace lastreach
