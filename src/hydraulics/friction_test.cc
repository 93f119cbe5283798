#include "hydraulics/friction.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace lastreach {
namespace {

TEST(DarcyFriction, Is64OverReInLaminarFlow) {
  for (const double reynolds : {1e-3, 1.0, 640.0, 2000.0}) {
    EXPECT_DOUBLE_EQ(DarcyFriction(reynolds, 0.01).factor, 64 / reynolds);
  }
}

TEST(DarcyFriction, SatisfiesColebrookOverTheWholeRange) {
  std::mt19937_64 random(20260701);
  std::uniform_real_distribution<double> log_reynolds(std::log(4001.0), std::log(1e9));
  std::uniform_real_distribution<double> log_rough(std::log(1e-7), std::log(0.05));
  for (int i = 0; i < 20'000; ++i) {
    const double reynolds = std::exp(log_reynolds(random));
    const double rough = i % 10 == 0 ? 0 : std::exp(log_rough(random));
    const double x = 1 / std::sqrt(DarcyFriction(reynolds, rough).factor);
    ASSERT_NEAR(x + 2 * std::log10(rough / 3.7 + 2.51 * x / reynolds), 0, 1e-12) << reynolds << " " << rough;
  }
}

// E. Maurer, Hydraulics and Water Resources: Examples Using R, Example 4.2: Re 1 035 465, f 0.0133. Cengel
// and Cimbala, Fluid Mechanics, Example 8-3: f 0.0174 (printed answer from memory).
TEST(DarcyFriction, IsAsPrintedInTheBooks) {
  EXPECT_NEAR(DarcyFriction(1'035'465, 0.046e-3 / 0.5).factor, 0.0133, 0.00005);
  EXPECT_NEAR(DarcyFriction(126'432, 7e-6 / (2.0 / 12)).factor, 0.0174, 0.00005);
}

TEST(DarcyFriction, SlopeIsThatOfTheValueEverywhere) {
  for (const double rough : {0.0, 1e-4, 0.05}) {
    for (double reynolds = 100; reynolds < 1e8; reynolds *= 1.07) {
      const double step = reynolds * 1e-6;
      const double difference =
          (DarcyFriction(reynolds + step, rough).factor - DarcyFriction(reynolds - step, rough).factor) /
          (2 * step);
      const double slope = DarcyFriction(reynolds, rough).slope_per_reynolds;
      // Differences of f lose ten digits of its sixteen.
      EXPECT_NEAR(slope, difference, 1e-5 * std::abs(slope) + 1e-8 / reynolds) << reynolds << " " << rough;
    }
  }
}

TEST(DarcyFriction, JoinsValueAndSlopeAtBothEndsOfTheTransition) {
  for (const double rough : {0.0, 1e-3, 0.05}) {
    for (const double join : {kLaminarReynolds, kTurbulentReynolds}) {
      const FrictionAndSlope below = DarcyFriction(join * (1 - 1e-9), rough);
      const FrictionAndSlope above = DarcyFriction(join * (1 + 1e-9), rough);
      EXPECT_NEAR(below.factor, above.factor, 1e-9);
      EXPECT_NEAR(below.slope_per_reynolds, above.slope_per_reynolds, 1e-11);
    }
  }
}

}  // namespace
}  // namespace lastreach
