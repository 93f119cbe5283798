#include "quality/exchange_solver.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <numeric>
#include <random>
#include <vector>

namespace lastreach {
namespace {

// Two cells and an outside: eigenvalues by hand would be no shorter than the closed form without the outside.
double TwoCellError(int steps) {
  ExchangeSolver solver;
  solver.Add(2, 0.5);
  solver.Add(1, 0);
  std::array<double, 2> c{1, 0};
  constexpr double kSeconds = 3;
  for (int i = 0; i < steps; ++i) solver.Apply(kSeconds / steps, 0, 0, c);
  const double difference = std::exp(-0.5 * (1.0 / 2 + 1.0 / 1) * kSeconds);
  return std::abs((c[0] - c[1]) - difference);
}

TEST(ExchangeSolver, IsOfSecondOrder) {
  for (const int steps : {8, 16, 32}) {
    const double order = std::log2(TwoCellError(steps) / TwoCellError(2 * steps));
    EXPECT_NEAR(order, 2, 0.15) << steps;
  }
}

TEST(ExchangeSolver, WithAnOutsideTendsToIt) {
  ExchangeSolver solver;
  for (int i = 0; i < 5; ++i) solver.Add(1, 1);
  std::vector<double> c(5, 0.0);
  double entered = 0;
  for (int i = 0; i < 400; ++i) entered += solver.Apply(1, 0.7, 0.3, c);
  for (const double value : c) EXPECT_NEAR(value, 0.3, 1e-9);
  EXPECT_NEAR(entered, 5 * 0.3, 1e-8);
}

TEST(ExchangeSolver, OneCellApproachesTheOutsideExponentially) {
  ExchangeSolver solver;
  solver.Add(2, 0);
  std::array<double, 1> c{1};
  double entered = 0;
  for (int i = 0; i < 1000; ++i) entered += solver.Apply(0.003, 0.5, 0.2, c);
  EXPECT_NEAR(c[0], 0.2 + 0.8 * std::exp(-0.25 * 3), 1e-7);
  EXPECT_NEAR(entered, -2 * 0.8 * -std::expm1(-0.25 * 3), 2e-7);
}

// Slivers of cells, exchanges from none to huge, steps from short to endless.
TEST(ExchangeSolver, KeepsTheSumAndTheRangeWhateverTheRow) {
  std::mt19937_64 random(3);
  const auto unit = [&] { return static_cast<double>(random() >> 11) * 0x1p-53; };
  for (int i = 0; i < 3000; ++i) {
    SCOPED_TRACE(i);
    ExchangeSolver solver;
    const std::size_t n = 1 + random() % 12;
    std::vector<double> volume(n);
    std::vector<double> c(n);
    for (std::size_t k = 0; k < n; ++k) {
      volume[k] = random() % 4 == 0 ? std::pow(10, -20 * unit()) : 1;
      c[k] = random() % 3 == 0 ? 0 : unit();
      solver.Add(volume[k], random() % 5 == 0 ? 0 : std::pow(10, 12 * unit() - 6));
    }
    const double outside_m3_per_s = random() % 2 == 0 ? 0 : unit();
    const double outside = unit();
    const double before = std::inner_product(c.begin(), c.end(), volume.begin(), 0.0);
    const double entered = solver.Apply(std::pow(10, 8 * unit() - 4), outside_m3_per_s, outside, c);
    const double after = std::inner_product(c.begin(), c.end(), volume.begin(), 0.0);
    // Huge exchanges cancel to within rounding of the sums.
    ASSERT_NEAR(after, before + entered, 1e-11 * static_cast<double>(n));
    for (const double value : c) {
      ASSERT_GE(value, -1e-14);
      ASSERT_LE(value, 1 + 1e-14);
    }
  }
}

}  // namespace
}  // namespace lastreach
