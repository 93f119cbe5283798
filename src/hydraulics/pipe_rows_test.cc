#include "hydraulics/pipe_rows.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "hydraulics/power.h"

namespace lastreach {
namespace {

TEST(PowerOf, IsThatOfTheLibraryTo13DigitsOver120Decades) {
  std::mt19937_64 random(1);
  std::uniform_real_distribution<double> decade(-60, 60);
  double worst = 0;
  for (int i = 0; i < 200'000; ++i) {
    const double x = std::pow(10, decade(random));
    worst = std::max(worst, std::abs(PowerOf<0.426>(x) / std::pow(x, 0.426) - 1));
    worst = std::max(worst, std::abs(PowerOf<1 / 1.852>(x) / std::pow(x, 1 / 1.852) - 1));
  }
  EXPECT_LT(worst, 1e-13);
}

TEST(PowerOf, IsExactAtPowersOfTwoRoundedToWholeExponents) {
  for (int e = -40; e <= 40; e += 4) EXPECT_DOUBLE_EQ(PowerOf<0.25>(std::ldexp(1, e)), std::ldexp(1, e / 4));
}

// Each row against the law of that pipe alone, at flows from none to far beyond any town's.
TEST(PipeRows, LoseWhatEachPipeDoes) {
  std::mt19937_64 random(2);
  const auto in = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  for (const HeadLoss kind : {HeadLoss::kHazenWilliams, HeadLoss::kDarcyWeisbach}) {
    NetworkOptions options;
    options.head_loss = kind;
    PipeRows rows, copied;
    std::vector<PipeLoss> pipes;
    std::vector<double> flow;
    for (int i = 0; i < 503; ++i) {
      const double rough = kind == HeadLoss::kHazenWilliams ? in(60, 150) : in(1e-5, 2e-3);
      pipes.push_back(
          PipeLossOf({i % 7 == 0 ? 0 : in(1, 900), in(0.03, 0.6), rough, i % 3 ? 0 : in(0, 9)}, options));
      flow.push_back(i % 11 == 0 ? 0 : std::copysign(std::pow(10, in(-9, 0)), in(-1, 1)));
      rows.Add(pipes.back());
      copied.Add(rows, rows.size() - 1);
    }
    std::vector<double> head(flow.size()), slope(flow.size()), printed(flow.size());
    copied.Evaluate(flow, head, slope);
    copied.EvaluateAsPrinted(flow, printed);
    for (size_t i = 0; i < flow.size(); ++i) {
      const LossAndSlope one = LossOf(pipes[i], flow[i]);
      EXPECT_NEAR(head[i], one.head_m, 1e-13 * std::abs(one.head_m)) << i;
      EXPECT_NEAR(slope[i], one.slope_s_per_m2, 1e-13 * one.slope_s_per_m2) << i;
      PipeLoss sharp = pipes[i];
      sharp.smooth_m3_per_s = 0;
      EXPECT_NEAR(printed[i], LossOf(sharp, flow[i]).head_m, 1e-13 * std::abs(printed[i])) << i;
    }
  }
}

}  // namespace
}  // namespace lastreach
