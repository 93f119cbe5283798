#include "hydraulics/head_loss.h"

#include <gtest/gtest.h>

#include <cmath>

namespace lastreach {
namespace {

double Plain(const PipeSize& size, double flow) {
  return 10.667 * size.length_m * std::pow(flow, 1.852) /
         (std::pow(size.roughness, 1.852) * std::pow(size.inner_diameter_m, 4.871));
}

// Worked out apart from this code with w = 10.667, six digits.
TEST(HazenWilliams, LosesWhatTheLawSays) {
  const auto loss = [](double c, double d, double flow) {
    return LossOf(PipeLossOf({1000, d, c, 0}, {}), flow).head_m;
  };
  EXPECT_NEAR(loss(130, 0.2, 0.03), 4.98116, 5e-6);
  EXPECT_NEAR(loss(100, 0.1, 0.01), 30.97721, 5e-6);
  EXPECT_NEAR(loss(130, 0.4572, 0.3111111), 6.75338, 5e-6);
}

// Machinery's Handbook, 31st ed., p. 2781: 12 in, C 120, 5 ft in 1000 ft carry 3.0 cfs, read from a chart;
// such a reading is good to 2 %, of a loss to 4 %.
TEST(HazenWilliams, CarriesWhatTheChartOfTheHandbookReads) {
  const double loss_m = LossOf(PipeLossOf({304.8, 0.3048, 120, 0}, {}), 3.0 * 0.0283168466).head_m;
  EXPECT_NEAR(loss_m, 5 * 0.3048, 0.04 * 5 * 0.3048);
}

TEST(HazenWilliams, RoundingOffAtZeroCostsAtMostTheHeadItSays) {
  for (const PipeSize& size :
       {PipeSize{1000, 0.1, 100, 0}, PipeSize{1, 1, 140, 0}, PipeSize{5000, 0.025, 60, 0}}) {
    const PipeLoss pipe = PipeLossOf(size, {});
    double worst = 0;
    for (double flow = 1e-12; flow < 10; flow *= 1.05) {
      worst = std::max(worst,
                       std::abs(LossOf(pipe, flow).head_m - Plain(size, flow)) - 1e-14 * Plain(size, flow));
    }
    EXPECT_LE(worst, 1e-8);
    EXPECT_GE(worst, 0.8e-8);  // and is not smaller than it need be: slopes at zero stay large
    EXPECT_GT(LossOf(pipe, 0).slope_s_per_m2, 0);
  }
}

// E. Maurer, Hydraulics and Water Resources: Examples Using R, Examples 4.1 to 4.3: 0.61 m, with g = 9.81.
TEST(DarcyWeisbach, LosesWhatMaurerPrints) {
  NetworkOptions options;
  options.head_loss = HeadLoss::kDarcyWeisbach;
  options.viscosity_m2_per_s = 1.023053e-6;
  const double loss_m = LossOf(PipeLossOf({100, 0.5, 0.046e-3, 0}, options), 0.416).head_m * 9.80665 / 9.81;
  EXPECT_NEAR(loss_m, 0.61, 0.005);
  EXPECT_NEAR(loss_m, 0.60782, 5e-6);  // worked out apart from this code
}

// Cengel and Cimbala, Fluid Mechanics, Example 8-3: 27.3 ft (printed answer from memory; 27.243 ft worked
// out).
TEST(DarcyWeisbach, LosesWhatCengelAndCimbalaPrint) {
  constexpr double kFoot_m = 0.3048;
  NetworkOptions options;
  options.head_loss = HeadLoss::kDarcyWeisbach;
  options.viscosity_m2_per_s = 7.536e-4 / 62.36 * kFoot_m * kFoot_m;
  const double flow = 0.2 * kFoot_m * kFoot_m * kFoot_m;
  const PipeLoss pipe = PipeLossOf({200 * kFoot_m, kFoot_m / 6, 7e-6 * kFoot_m, 0}, options);
  EXPECT_NEAR(LossOf(pipe, flow).head_m / kFoot_m * 32.174 / 32.2, 27.243, 0.0005);
}

// Hagen-Poiseuille: h = 128 nu L Q / (pi g D^4).
TEST(DarcyWeisbach, IsHagenPoiseuilleWhereLaminar) {
  NetworkOptions options;
  options.head_loss = HeadLoss::kDarcyWeisbach;
  const PipeLoss pipe = PipeLossOf({100, 0.05, 1e-3, 0}, options);
  const double flow = 1e-5;
  const double expected =
      128 * options.viscosity_m2_per_s * 100 * flow / (M_PI * 9.80665 * std::pow(0.05, 4));
  EXPECT_NEAR(LossOf(pipe, flow).head_m, expected, 1e-12 * expected);
}

TEST(HeadLoss, IsOddAndRisesAndItsSlopeIsThatOfTheValue) {
  for (const HeadLoss kind : {HeadLoss::kHazenWilliams, HeadLoss::kDarcyWeisbach}) {
    NetworkOptions options;
    options.head_loss = kind;
    const double rough = kind == HeadLoss::kHazenWilliams ? 110 : 1e-3;
    for (const PipeSize& size : {PipeSize{500, 0.15, rough, 0}, PipeSize{500, 0.025, rough, 3},
                                 PipeSize{0, 0.3, rough, 2.5}, PipeSize{}}) {
      const PipeLoss pipe = PipeLossOf(size, options);
      double before_m = LossOf(pipe, 0).head_m;
      EXPECT_EQ(before_m, 0);
      for (double flow = 1e-9; flow < 1; flow *= 1.1) {
        const LossAndSlope loss = LossOf(pipe, flow);
        EXPECT_EQ(LossOf(pipe, -flow).head_m, -loss.head_m);
        EXPECT_EQ(LossOf(pipe, -flow).slope_s_per_m2, loss.slope_s_per_m2);
        EXPECT_GT(loss.head_m, before_m);
        before_m = loss.head_m;
        const double step = flow * 1e-5;
        const double difference =
            (LossOf(pipe, flow + step).head_m - LossOf(pipe, flow - step).head_m) / (2 * step);
        EXPECT_NEAR(loss.slope_s_per_m2, difference, 1e-5 * difference);
      }
    }
  }
}

// K v^2/2g by hand: K 2, 1 m/s, 9.80665 m/s2.
TEST(HeadLoss, MinorLossIsKTimesTheVelocityHead) {
  const double flow = M_PI / 4 * 0.2 * 0.2;
  const double loss_m = LossOf(PipeLossOf({0, 0.2, 0, 2}, {}), flow).head_m;
  EXPECT_NEAR(loss_m, 2 / (2 * 9.80665), 1e-5 * flow + 1e-12);
}

}  // namespace
}  // namespace lastreach
