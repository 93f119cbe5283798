#include "quality/node_mixing.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <random>
#include <vector>

namespace lastreach {
namespace {

TEST(LogLinear, SeriesMeetTheFunctions) {
  for (int i = -4000; i <= 4000; ++i) {
    const double x = i * 1e-4;
    EXPECT_NEAR(NearExp(x), std::exp(x), 1e-15);
    EXPECT_NEAR(NearLog1p(x), std::log1p(x), 2e-16);
    EXPECT_NEAR(SinhRatio(x), x == 0 ? 1 : std::sinh(x) / x, 1e-15);
  }
}

// The line put through ln of a sum of exponentials keeps its integral, and its error is within the bound.
TEST(NodeMixer, KeepsTheIntegralAndItsBound) {
  using C = Carried<1, true>;
  std::mt19937_64 random(11);
  const auto number = [&](double low, double high) {
    return std::uniform_real_distribution<>(low, high)(random);
  };
  for (int i = 0; i < 2000; ++i) {
    std::vector<WaterInflow<C>> in(static_cast<std::size_t>(2 + i % 3));
    double flow = 0;
    for (WaterInflow<C>& one : in) {
      one.PutIn({number(-1e5, 0), number(-8, 0.5)}, number(1e-5, 1e-2), std::nullopt);
      one.per_m3 = {number(-1, 1) / one.flow_m3_per_s,
                    number(-1, 1) * (i % 2 == 0 ? 1e-5 : 1e-3) / one.flow_m3_per_s};
      one.loss_per_s = number(0, 1e-4);
      flow += one.flow_m3_per_s;
    }
    NodeStretch<C> stretch{.seconds = std::exp(number(2, 8))};
    NodeMixer<C> mixer;
    mixer.Mix(in, flow, 1e-4, stretch);
    EXPECT_LE(stretch.error[1], 1.01e-4);
    double integral = 0;
    double farthest = 0;
    constexpr int kPoints = 200;  // Simpson's rule
    for (int k = 0; k <= kPoints; ++k) {
      const double t = stretch.seconds * k / kPoints;
      double c = 0;
      for (const WaterInflow<C>& one : in) {
        c += one.flow_m3_per_s / flow *
             std::exp(one.now[1] + one.per_m3[1] * one.flow_m3_per_s * t - one.loss_per_s * t);
      }
      integral += c * (k == 0 || k == kPoints ? 1 : k % 2 == 1 ? 4 : 2) / (3 * kPoints);
      const double line = stretch.first[1] + (stretch.last[1] - stretch.first[1]) * k / kPoints;
      farthest = std::max(farthest, std::abs(std::log(c) - line));
    }
    EXPECT_NEAR(stretch.mean_mg_per_l, integral, 1e-9 * integral);
    EXPECT_NEAR(LogLinearMean(stretch.first[1], stretch.last[1]), integral, 1e-9 * integral);
    EXPECT_LE(farthest, stretch.error[1] * (1 + 1e-6) + 1e-12);
  }
}

// Two pieces on one line: integrals and first moments stay, and nothing moves further than the tolerance.
TEST(MergeInto, KeepsTheIntegralAndItsTolerance) {
  using C = Carried<1, true>;
  std::mt19937_64 random(12);
  const auto number = [&](double low, double high) {
    return std::uniform_real_distribution<>(low, high)(random);
  };
  int merged = 0;
  for (int i = 0; i < 5000; ++i) {
    const std::size_t end = static_cast<std::size_t>(i % 2);
    WaterPiece<C> tail{.volume_m3 = number(0.1, 2)};
    WaterPiece<C> fresh{.volume_m3 = number(0.01, 2)};
    const double b = number(-3, 0);
    tail.at[1 - end] = {number(-40, 40), b + number(-0.02, 0.02)};
    tail.at[end] = {number(-40, 40), b};
    fresh.at[1 - end] = {tail.at[end][0] + number(-20, 20), b + number(-0.01, 0.01)};
    fresh.at[end] = {number(-40, 40), b + number(-0.02, 0.02)};
    const WaterPiece<C> before = tail;
    LeftOut<C> left_out;
    if (!MergeInto<C>(tail, fresh, end, {30, 0.02}, 0, left_out)) continue;
    ++merged;
    const double total = before.volume_m3 + fresh.volume_m3;
    EXPECT_DOUBLE_EQ(tail.volume_m3, total);
    const auto mean = [](const WaterPiece<C>& piece) { return (piece.at[0][0] + piece.at[1][0]) / 2; };
    EXPECT_NEAR(mean(tail) * total, mean(before) * before.volume_m3 + mean(fresh) * fresh.volume_m3, 1e-11);
    const auto mass = [](const WaterPiece<C>& piece) {
      return piece.volume_m3 * LogLinearMean(piece.at[0][1], piece.at[1][1]);
    };
    EXPECT_NEAR(mass(tail), mass(before) + mass(fresh), 1e-14 * total);
    const auto on_line = [&](double share, std::size_t k) {
      return tail.at[1 - end][k] + (tail.at[end][k] - tail.at[1 - end][k]) * share;
    };
    for (std::size_t k = 0; k < 2; ++k) {
      const double joint = before.volume_m3 / total;
      for (const double off : {before.at[1 - end][k] - on_line(0, k), before.at[end][k] - on_line(joint, k),
                               fresh.at[1 - end][k] - on_line(joint, k), fresh.at[end][k] - on_line(1, k)}) {
        EXPECT_GE(off, left_out.below[k] - 1e-5);
        EXPECT_LE(off, left_out.above[k] + 1e-5);
        EXPECT_LE(std::abs(off), (k == 0 ? 30 : 0.02) + 1e-9);
      }
    }
  }
  EXPECT_GT(merged, 500);
}

// Traces are put on one line however far apart their logarithms are, and the mass stays.
TEST(MergeInto, KeepsTheMassOfTraces) {
  using C = Carried<1, true>;
  std::mt19937_64 random(13);
  for (int i = 0; i < 4000; ++i) {
    const double least_ln = std::array{-20.0, -60.0, -150.0, -600.0}[static_cast<std::size_t>(i % 4)];
    const auto trace = [&] { return std::uniform_real_distribution<>(least_ln, kTraceLn)(random); };
    const std::size_t end = static_cast<std::size_t>(i / 4 % 2);
    WaterPiece<C> tail{.volume_m3 = std::exp(-0.005 * i)};
    WaterPiece<C> fresh{.volume_m3 = 0.5};
    for (WaterPiece<C>* piece : {&tail, &fresh}) {
      for (Values<C>& at : piece->at) at = {0, trace()};
    }
    const auto mass = [](const WaterPiece<C>& piece) {
      return piece.volume_m3 * LogLinearMean(piece.at[0][1], piece.at[1][1]);
    };
    const double held = mass(tail) + mass(fresh);
    LeftOut<C> left_out;
    ASSERT_TRUE(MergeInto<C>(tail, fresh, end, {30, 0.02}, 0, left_out));
    EXPECT_NEAR(mass(tail), held, 1e-12 * held);
  }
}

TEST(LogLinear, MeansAreThoseOfSteepLines) {
  for (const double half : {1e-3, 0.5, 5.0, 19.9, 20.1, 300.0}) {
    const double ratio = std::sinh(half) / half;
    EXPECT_NEAR(LnSinhRatio(half), std::log(ratio), 1e-15 * std::max(half, 1.0));
    EXPECT_EQ(LnSinhRatio(-half), LnSinhRatio(half));
    EXPECT_NEAR(MeanOfExp(-300, half), std::exp(-300) * ratio, 1e-13 * std::exp(-300) * ratio);
    EXPECT_EQ(MeanOfExp(-300, -half), MeanOfExp(-300, half));
  }
  // A steep line from nothing: exp at its high end over how far it falls.
  EXPECT_NEAR(LogLinearMean(-5000, -1), std::exp(-1) / 4999, 1e-15);
  EXPECT_NEAR(LnOfSum(-3, -4), std::log(std::exp(-3) + std::exp(-4)), 1e-15);
  EXPECT_EQ(LnOfSum(-5000, -3), -3);
  EXPECT_NEAR(LnOfSum(-5000, -5000), -5000 + std::log(2), 1e-12);
}

// Water that stood for years holds less than a number can tell; beside it or alone it counts as none.
TEST(NodeMixer, MixesWaterThatHoldsNextToNothing) {
  using C = Carried<1, true>;
  for (const double other_ln : {-1.0, -69.0, -900.0, -5000.0}) {
    std::vector<WaterInflow<C>> in(2);
    in[0].PutIn({0, -5000}, 1e-3, std::nullopt);
    in[0].per_m3 = {0, 4900};  // within a cubic metre from nothing at all to next to nothing
    in[1].PutIn({0, other_ln}, 3e-3, std::nullopt);
    NodeStretch<C> stretch{.seconds = 1000};
    NodeMixer<C> mixer;
    mixer.Mix(in, 4e-3, 1e-4, stretch);
    EXPECT_GT(stretch.seconds, 0);
    EXPECT_TRUE(std::isfinite(stretch.error[1]));
    EXPECT_NEAR(stretch.mean_mg_per_l, 0.75 * std::exp(other_ln), 1e-100 + 1e-9 * std::exp(other_ln));
    for (const double ln : {stretch.first[1], stretch.last[1]}) {
      EXPECT_TRUE(std::isfinite(ln));
      EXPECT_NEAR(std::exp(ln), 0.75 * std::exp(other_ln), 1e-100 + 1e-3 * std::exp(other_ln));
    }
  }
}

}  // namespace
}  // namespace lastreach
