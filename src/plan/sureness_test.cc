#include "plan/sureness.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "plan/search.h"
#include "plan/test_devices.h"

namespace lastreach {
namespace {

// An end without services or walls, opened for the whole of every clock-hour 0 of the day.
DeviceFacts BareEnd() { return MadeUpDevice(0, 100); }

TEST(StratifiedDraws, PutOneDrawInEverySlice) {
  constexpr size_t kCount = 200;
  const auto draws = StratifiedDraws(kCount, 7);
  ASSERT_EQ(draws.size(), kCount);
  for (size_t number = 0; number < kUncertainCount; ++number) {
    std::vector<int> hits(kCount, 0);
    for (const Deviates& draw : draws) {
      const double share = 0.5 * std::erfc(-draw[number] / std::sqrt(2.0));
      ++hits[std::min(kCount - 1, static_cast<size_t>(share * kCount))];
    }
    EXPECT_EQ(std::count(hits.begin(), hits.end(), 1), kCount);
  }
}

TEST(Draws, AreFixedByTheirSeed) {
  EXPECT_EQ(StratifiedDraws(50, 1), StratifiedDraws(50, 1));
  EXPECT_NE(StratifiedDraws(50, 1), StratifiedDraws(50, 2));
  EXPECT_EQ(PlainDraws(50, 1), PlainDraws(50, 1));
  EXPECT_NE(PlainDraws(50, 1), PlainDraws(50, 2));
}

TEST(Draws, AreStandardNormal) {
  constexpr size_t kCount = 4000;
  for (const auto& draws : {PlainDraws(kCount, 3), StratifiedDraws(kCount, 3)}) {
    for (size_t number = 0; number < kUncertainCount; ++number) {
      double sum = 0;
      double squares = 0;
      for (const Deviates& draw : draws) {
        sum += draw[number];
        squares += draw[number] * draw[number];
      }
      // Four standard errors: 4 / sqrt(4000) and 4 sqrt(2 / 4000).
      EXPECT_NEAR(sum / kCount, 0, 0.064);
      EXPECT_NEAR(squares / kCount, 1, 0.09);
    }
  }
}

// Quantiles of the standard normal, five figures, from any printed table (from memory).
TEST(CornerOf, ReachesTheNormalQuantile) {
  Deviates one{};
  one[kBulkLoss] = 2;
  EXPECT_NEAR(CornerOf(one, 0.9)[kBulkLoss], 1.28155, 5e-6);
  EXPECT_NEAR(CornerOf(one, 0.95)[kBulkLoss], 1.64485, 5e-6);
  EXPECT_NEAR(CornerOf(one, 0.975)[kBulkLoss], 1.95996, 5e-6);
  EXPECT_NEAR(CornerOf(one, 0.99)[kBulkLoss], 2.32635, 5e-6);
  EXPECT_EQ(CornerOf(one, 0.5)[kBulkLoss], 0);
}

TEST(CornerOf, GoesAlongTheSteepestFallAndIgnoresWhatHelps) {
  Deviates slopes{};
  slopes[kBulkLoss] = 3;
  slopes[kUpstream] = 4;
  slopes[kDemand] = -5;
  const Deviates corner = CornerOf(slopes, 0.9);
  EXPECT_NEAR(corner[kBulkLoss], 1.28155 * 0.6, 5e-6);
  EXPECT_NEAR(corner[kUpstream], 1.28155 * 0.8, 5e-6);
  EXPECT_EQ(corner[kDemand], 0);
}

// A run a day that empties the end leaves water that entered at most a day before, and stands until the next
// run: with the run's last water aged 24 h less its minutes when the next run reaches it. Nothing but the
// loss and the main's residual matter, so the lowest is C0 e^(-k T), log-normal, and the share that holds is
// Phi of a distance that can be written down.
TEST(SurenessJudge, AgreesWithTheClosedFormWhereLossAndMainDecideAlone) {
  DeviceFacts facts = BareEnd();
  constexpr int kRun_min = 60;  // 10.8 m3 through 1.8 m3: six volumes, whatever the draw
  TimerSettings settings;
  settings.programmes = {{{120}, kRun_min, kEveryWeekday, {}}};
  const PlanningNumbers numbers = *GatherNumbers(facts, FourWeeks());
  const double sd = std::hypot(numbers.log_sd[kBulkLoss], 0.0);
  ASSERT_GT(sd, 0.1);
  Trial trial(RichForm(), Zone::Utc(), numbers);
  const DateWindow window{*ParseDate("2026-06-03"), *ParseDate("2026-06-05")};
  constexpr size_t kDraws = 2000;
  SurenessJudge judge(trial, StratifiedDraws(kDraws, 5), GuessSlopes(numbers));
  const int right[] = {0};
  const std::vector<double> lows = judge.Lows(settings, window, right);
  ASSERT_TRUE(std::is_sorted(lows.begin(), lows.end()));

  // The water lowest before a run is that nearest the main's side of the tip: it entered V / Q before the run
  // before ended, and so has stood T = 24 h - run + V / Q; of T only V / Q is uncertain, seconds of a day.
  const double passing_s = numbers.volume_m3() / numbers.flow_m3_per_s;
  const double stood_s = 86400 - kRun_min * 60 + passing_s;
  // P(ln C0 - sd_u z1 - k e^(sd_k z2) T >= ln c), by adding up over z2.
  const auto share_above = [&](double c) {
    double sum = 0;
    constexpr int kSteps = 4000;
    for (int i = 0; i < kSteps; ++i) {
      const double z = -6 + 12 * (i + 0.5) / kSteps;
      const double loss = numbers.bulk_per_s * std::exp(numbers.log_sd[kBulkLoss] * z) * stood_s;
      const double room =
          (std::log(numbers.upstream_mg_per_l) - loss - std::log(c)) / numbers.log_sd[kUpstream];
      sum += std::exp(-z * z / 2) * 0.5 * std::erfc(-room / std::sqrt(2.0));
    }
    return sum * (12.0 / kSteps) / std::sqrt(2 * std::acos(-1.0));
  };
  for (const double c : {0.35, 0.45, 0.5, 0.55, 0.6}) {
    const double share =
        static_cast<double>(lows.end() - std::lower_bound(lows.begin(), lows.end(), c)) / kDraws;
    // Three standard errors of plain draws, which stratified ones stay within, and V / Q's own spread.
    EXPECT_NEAR(share, share_above(c), 3 * std::sqrt(0.25 / kDraws)) << c;
  }
}

TEST(SurenessJudge, HoldsExactlyWhereEnoughDrawsDo) {
  const PlanningNumbers numbers = *GatherNumbers(MadeUpDevice(3, 300), FourWeeks());
  Trial trial(RichForm(), Zone::Utc(), numbers);
  const DateWindow window{*ParseDate("2026-06-03"), *ParseDate("2026-06-05")};
  TimerSettings settings;
  settings.programmes = {{{120, 840}, 14, kEveryWeekday, {}}};
  SurenessJudge judge(trial, StratifiedDraws(100, 11), GuessSlopes(numbers));
  const std::vector<double> lows = judge.Lows(settings, window, kClockErrors_min);
  const auto holding = lows.end() - std::lower_bound(lows.begin(), lows.end(), numbers.target_mg_per_l);
  ASSERT_GT(holding, 10);
  ASSERT_LT(holding, 100);
  EXPECT_TRUE(judge.Holds(settings, {window}, static_cast<double>(holding) / 100));
  EXPECT_FALSE(judge.Holds(settings, {window}, static_cast<double>(holding + 1) / 100));
}

TEST(MeasureSlopes, FindsTheLossOfStillWater) {
  const PlanningNumbers numbers = *GatherNumbers(BareEnd(), FourWeeks());
  Trial trial(RichForm(), Zone::Utc(), numbers);
  TimerSettings settings;
  settings.programmes = {{{120}, 60, kEveryWeekday, {}}};
  const DateWindow window{*ParseDate("2026-06-03"), *ParseDate("2026-06-05")};
  const Deviates slopes = MeasureSlopes(trial, settings, window, {});
  EXPECT_NEAR(slopes[kUpstream], numbers.log_sd[kUpstream], 1e-9);
  // -d ln C over half a deviate of k: k T (e^(sd / 2) - 1) / 0.5, T as in the closed form above.
  const double stood_s = 86400 - 3600 + numbers.volume_m3() / numbers.flow_m3_per_s;
  EXPECT_NEAR(slopes[kBulkLoss],
              numbers.bulk_per_s * stood_s * (std::exp(numbers.log_sd[kBulkLoss] / 2) - 1) / 0.5, 1e-6);
  EXPECT_EQ(slopes[kDemand], 0);
}

}  // namespace
}  // namespace lastreach
