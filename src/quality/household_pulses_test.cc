#include "quality/household_pulses.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <numeric>

#include "core/quantity.h"
#include "quality/named_random.h"

namespace lastreach {
namespace {

// Worked out apart from this code, in another language, with the published constants; FNV-1a of "a" and the
// first number of SplitMix64 from 0 came out there as published, AF63DC4C8601EC8C and E220A8397B1DCDAF.
TEST(NamedRandom, IsTheSameEverywhere) {
  NamedRandom random("town", 3);
  EXPECT_EQ(random.Next(), 0x00A39EFA2DADB280U);
  EXPECT_EQ(random.Next(), 0x419FA368E10D25A6U);
  EXPECT_EQ(random.Next(), 0xD1A0D1943E213FD1U);
}

// Mean and variance of n draws, each within four and a half of its standard errors: one run in 10^5 by
// chance, and the names are fixed.
constexpr double kErrors = 4.5;

template <typename Draw>
void ExpectMoments(double mean, double variance, int n, const Draw& draw) {
  double sum = 0;
  double squares = 0;
  double fourths = 0;
  for (int i = 0; i < n; ++i) {
    const double from = draw() - mean;
    sum += from;
    squares += from * from;
    fourths += from * from * from * from;
  }
  EXPECT_LT(std::abs(sum / n), kErrors * std::sqrt(variance / n));
  const double of_squares = fourths / n - variance * variance;
  EXPECT_LT(std::abs(squares / n - variance), kErrors * std::sqrt(of_squares / n));
}

TEST(NamedRandom, HasTheMomentsOfItsLaws) {
  constexpr int kDraws = 200000;
  NamedRandom random("moments", 0);
  ExpectMoments(0.5, 1.0 / 12, kDraws, [&] { return random.Unit(); });
  ExpectMoments(1, 1, kDraws, [&] { return random.Exponential(); });
  ExpectMoments(0, 1, kDraws, [&] { return random.Normal(); });
  ExpectMoments(3, 4, kDraws, [&] { return random.LogNormal(3, 2); });
}

TEST(HouseholdMoments, FollowFromTheLaw) {
  const PulseMoments m = HouseholdMoments({});
  const double open = 91.0 * 40 / 86400;
  EXPECT_NEAR(m.mean_m3_per_s, open * 0.346 / 3600, 1e-18);
  EXPECT_NEAR(m.variance_m6_per_s2, open * (0.346 * 0.346 + 0.292 * 0.292) / 3600 / 3600, 1e-20);
  EXPECT_NEAR(m.no_flow_share, std::exp(-open), 1e-15);
}

constexpr double kDays = 10;
constexpr int kHouseholds = 600;

std::vector<Pulse> DrawHousehold(int number, std::span<const double> factor) {
  std::vector<double> time_s(factor.size() + 1);
  for (std::size_t i = 0; i < time_s.size(); ++i) {
    time_s[i] = kDays * kSecondsPerDay * static_cast<double>(i) / static_cast<double>(factor.size());
  }
  return DrawPulses({}, HouseholdMoments({}).mean_m3_per_s, time_s, factor, "a street",
                    static_cast<uint64_t>(number));
}

double FlowAt(const std::vector<Pulse>& pulses, double time_s) {
  double flow = 0;
  for (const Pulse& pulse : pulses) {
    if (pulse.begin_s <= time_s && time_s < pulse.end_s) flow += pulse.flow_m3_per_s;
  }
  return flow;
}

TEST(DrawPulses, HaveTheMeanVarianceAndIdleShareOfTheLaw) {
  const PulseMoments moments = HouseholdMoments({});
  const std::array<double, 1> steady{1};
  std::vector<double> flows;
  double idle = 0;
  for (int k = 0; k < kHouseholds; ++k) {
    const std::vector<Pulse> pulses = DrawHousehold(k, steady);
    // Twice a day: far further apart than any pulse is long, so that the samples are independent.
    for (double t = 0; t < kDays * kSecondsPerDay; t += kSecondsPerDay / 2) {
      flows.push_back(FlowAt(pulses, t));
      if (flows.back() == 0) ++idle;
    }
  }
  std::size_t i = 0;
  ExpectMoments(moments.mean_m3_per_s, moments.variance_m6_per_s2, static_cast<int>(flows.size()),
                [&] { return flows[i++]; });
  const auto n = static_cast<double>(flows.size());
  const double error = std::sqrt(moments.no_flow_share * (1 - moments.no_flow_share) / n);
  EXPECT_LT(std::abs(idle / n - moments.no_flow_share), kErrors * error);
}

// Counts of a day: mean and variance both 91. The variance of a sample variance of n Poisson counts is near
// (2 lambda^2 + lambda) / n.
TEST(DrawPulses, CountsOfADayArePoisson) {
  const std::array<double, 1> steady{1};
  double sum = 0;
  double squares = 0;
  for (int k = 0; k < kHouseholds; ++k) {
    std::array<double, static_cast<std::size_t>(kDays)> counts{};
    for (const Pulse& pulse : DrawHousehold(k, steady)) {
      if (pulse.begin_s > 0) ++counts[static_cast<std::size_t>(pulse.begin_s / kSecondsPerDay)];
    }
    for (const double count : counts) {
      sum += count - 91;
      squares += (count - 91) * (count - 91);
    }
  }
  constexpr double n = kHouseholds * kDays;
  EXPECT_LT(std::abs(sum / n), kErrors * std::sqrt(91 / n));
  EXPECT_LT(std::abs(squares / n - 91), kErrors * std::sqrt((2 * 91.0 * 91 + 91) / n));
}

TEST(DrawPulses, FollowTheFactorsOfTheHours) {
  const std::array<double, 5> factor{0, 2, 0.5, 0, 1};
  std::array<double, 5> counts{};
  for (int k = 0; k < kHouseholds; ++k) {
    for (const Pulse& pulse : DrawHousehold(k, factor)) {
      ++counts[static_cast<std::size_t>(pulse.begin_s / (kDays / 5 * kSecondsPerDay))];
    }
  }
  for (std::size_t i = 0; i < factor.size(); ++i) {
    const double expected = factor[i] * 91 * kDays / 5 * kHouseholds;
    EXPECT_LE(std::abs(counts[i] - expected), kErrors * std::sqrt(expected)) << i;
  }
}

TEST(DrawPulses, DependOnNameAndTapAlone) {
  const std::array<double, 1> steady{1};
  const std::vector<Pulse> once = DrawHousehold(3, steady);
  const std::vector<Pulse> again = DrawHousehold(3, steady);
  ASSERT_EQ(once.size(), again.size());
  for (std::size_t i = 0; i < once.size(); ++i) EXPECT_EQ(once[i].flow_m3_per_s, again[i].flow_m3_per_s);
  EXPECT_NE(once.front().begin_s, DrawHousehold(4, steady).front().begin_s);
}

TEST(DrawDemand, SumsThePulsesOfEachTapAndEndsEachAtZero) {
  const double home = HouseholdMoments({}).mean_m3_per_s;
  const Branch branch{{{.length_m = 50, .diameter_m = 0.1, .tap_demand_m3_per_s = 30 * home},
                       {.length_m = 50, .diameter_m = 0.1},
                       {.length_m = 50, .diameter_m = 0.1, .tap_demand_m3_per_s = home}}};
  const BranchDrive drive{.time_s = {0, 43200, 86400},
                          .demand_factor = {0.5, 1.5},
                          .end_flow_m3_per_s = {0, 0},
                          .root_mg_per_l = {1, 1, 1}};
  const std::vector<DrawChange> changes = DrawDemand({}, branch, drive, "x");
  std::array<double, 3> draw{};
  std::array<double, 3> volume{};
  double now_s = 0;
  for (const DrawChange& change : changes) {
    ASSERT_GE(change.time_s, now_s);
    for (std::size_t j = 0; j < 3; ++j) volume[j] += draw[j] * (change.time_s - now_s);
    now_s = change.time_s;
    draw[change.tap] = change.draw_m3_per_s;
  }
  for (std::size_t j = 0; j < 3; ++j) {
    EXPECT_EQ(draw[j], 0) << j;
    double of_pulses = 0;
    for (const Pulse& pulse :
         DrawPulses({}, branch.segments[j].tap_demand_m3_per_s, drive.time_s, drive.demand_factor, "x", j)) {
      of_pulses += pulse.flow_m3_per_s * (pulse.end_s - pulse.begin_s);
    }
    EXPECT_NEAR(volume[j], of_pulses, 1e-12) << j;
  }
  EXPECT_EQ(volume[1], 0);
}

}  // namespace
}  // namespace lastreach
