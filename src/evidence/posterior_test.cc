#include "evidence/posterior.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <numbers>
#include <random>

#include "evidence/test_records.h"

namespace lastreach {
namespace {

using Matrix = std::vector<std::vector<double>>;

// ln of the normal density of y about `mean` with covariance `c`, by Cholesky.
double DenseLn(const std::vector<double>& y, const std::vector<double>& mean, Matrix c) {
  const size_t n = y.size();
  std::vector<double> z(n);
  double ln = 0;
  for (size_t i = 0; i < n; ++i) {
    for (size_t j = 0; j <= i; ++j) {
      double sum = c[i][j];
      for (size_t k = 0; k < j; ++k) sum -= c[i][k] * c[j][k];
      c[i][j] = i == j ? std::sqrt(sum) : sum / c[j][j];
    }
    z[i] = y[i] - mean[i];
    for (size_t k = 0; k < i; ++k) z[i] -= c[i][k] * z[k];
    z[i] /= c[i][i];
    ln -= 0.5 * z[i] * z[i] + std::log(c[i][i]) + 0.5 * std::log(2 * std::numbers::pi);
  }
  return ln;
}

// The flow's share of the covariance is the same error in every interval.
double DenseLn(const std::vector<double>& y, const std::vector<double>& expected,
               const std::vector<double>& variance, double relative_sd) {
  Matrix c(y.size(), std::vector<double>(y.size()));
  for (size_t i = 0; i < y.size(); ++i) {
    for (size_t j = 0; j < y.size(); ++j) {
      c[i][j] = relative_sd * relative_sd * expected[i] * expected[j] + (i == j ? variance[i] : 0);
    }
  }
  return DenseLn(y, expected, c);
}

// A device with made-up settings and reads, and all that Reconcile makes of them on its way.
struct Case {
  PointRecords records = TestPoint();
  SeriesMoments moments;
  std::vector<DialRead> dial;
  std::vector<ReadVolume> volumes;
  KnownFlow flow{0.004, 0.07, {}, "a test"};
};

Case MakeCase(unsigned seed) {
  std::mt19937 random(seed);
  const auto draw = [&](int from, int to) { return std::uniform_int_distribution<int>(from, to)(random); };
  Case made;
  const DayPattern patterns[] = {kEveryWeekday, OddDates{}, Weekdays{0x15}};
  made.records.settings = {
      Recorded(SettingsKind::kAsLeft, At("2026-05-20", 9),
               Keyed({10 * draw(0, 143)}, draw(5, 60), patterns[draw(0, 2)]), 0),
      Recorded(SettingsKind::kAsLeft, At("2026-06-09", 10), Keyed({10 * draw(0, 143)}, draw(5, 60)), 0)};
  std::vector<Instant> reads;
  std::vector<bool> timed;
  double total_m3 = 100;
  Instant at = At("2026-06-01", 12);
  for (int i = 0; i < 4; ++i) {
    DialRead read;
    read.at = at;
    read.read.total = Volume::CubicMetres(total_m3);
    read.total_m3 = total_m3;
    read.step_m3 = 0.1;
    made.dial.push_back(read);
    reads.push_back(at);
    const double through_m3 = draw(0, 80);
    if (i < 3) made.volumes.push_back({through_m3, 0.5});
    total_m3 += through_m3;
    at += std::chrono::days(draw(3, 7)) + std::chrono::minutes(draw(0, 600));
  }
  std::unique_ptr<bool[]> has_time(new bool[4]{true, draw(0, 1) == 0, true, draw(0, 1) == 0});
  made.moments = MomentsOf(made.records.zone, reads, {has_time.get(), 4});
  return made;
}

// What a series sends through between two moments, asked of the runs themselves.
struct Water {
  double volume_m3 = 0, variance_m6 = 0;
};
Water Walk(const std::vector<LikelyRun>& runs, double always_m3_per_s, Instant from, Instant to) {
  Water water;
  water.volume_m3 = always_m3_per_s * static_cast<double>((to - from).count());
  for (const LikelyRun& likely : runs) {
    const Instant begin = std::max(from, Instant(likely.run.start));
    const Instant end = std::min(to, Instant(likely.run.end()));
    if (end > begin) water.volume_m3 += 0.004 * static_cast<double>((end - begin).count());
    const double whole_m3 = 0.004 * 60 * likely.run.minutes;
    const Instant ended{likely.run.end()};
    if (ended > from && ended <= to) water.variance_m6 += kRunScatter * kRunScatter * whole_m3 * whole_m3;
  }
  return water;
}

struct Assumed {
  std::vector<LikelyRun> runs;
  double always_m3_per_s = 0;
};

// One interval at a time, cut at the two days; nothing is added up beforehand.
double SlowLn(const Case& made, const Assumed& base, const Assumed& other, size_t first, size_t last) {
  const Instant begins = made.moments.days[first];
  const Instant ends = last == SwitchLikelihood::kNever ? made.moments.reads.back() + std::chrono::days(9)
                                                        : made.moments.days[last];
  std::vector<double> y, expected, variance;
  for (size_t i = 0; i < made.volumes.size(); ++i) {
    const Instant from = made.moments.reads[i], to = made.moments.reads[i + 1];
    const Instant cut = std::clamp(begins, from, to), back = std::clamp(ends, from, to);
    double a = 0, v = made.volumes[i].variance_m6;
    const auto add = [&](const Assumed& which, Instant a_from, Instant a_to) {
      if (a_to <= a_from) return;
      const Water water = Walk(which.runs, which.always_m3_per_s, a_from, a_to);
      a += water.volume_m3;
      v += water.variance_m6;
    };
    add(base, from, cut);
    add(other, cut, back);
    add(base, back, to);
    v += kIntervalScatter * kIntervalScatter * a * a;
    for (const size_t read : {i, i + 1}) {
      if (made.moments.has_time[read]) continue;
      const Instant at = made.moments.reads[read];
      const bool is_first = read == i;
      // Which of the two holds on the interval's side of the read.
      const bool in_other = is_first ? (begins < at && at < ends) : (begins < at && at <= ends);
      const Assumed& which = in_other ? other : base;
      const Water around =
          Walk(which.runs, which.always_m3_per_s, at - std::chrono::hours(5), at + std::chrono::hours(5));
      v += around.volume_m3 * around.volume_m3 / 4;
    }
    y.push_back(made.volumes[i].volume_m3);
    expected.push_back(a);
    variance.push_back(v);
  }
  return DenseLn(y, expected, variance, made.flow.relative_sd);
}

TEST(SwitchLikelihood, IsThatOfEveryIntervalOnItsOwnWithTheFlowSummedOut) {
  for (unsigned seed = 1; seed <= 12; ++seed) {
    const Case made = MakeCase(seed);
    const Instant from = made.moments.reads.front() - std::chrono::days(1);
    const Instant to = made.moments.reads.back() + std::chrono::days(1);
    const std::vector<Assumed> assumed = {{RunsInGround(made.records, from, to), 0},
                                          {{}, 0},
                                          {{}, 0.004},
                                          {RunsInGround(made.records, from, to), 1e-4}};
    std::vector<WaterSeries> series;
    for (const Assumed& each : assumed) {
      series.push_back(SeriesOf(made.moments, each.runs, 0.004, each.always_m3_per_s));
    }
    const SwitchLikelihood fast(made.moments, made.volumes, series);
    EXPECT_NEAR(LogLikelihood(fast.BaseTerms(), 0.07),
                SlowLn(made, assumed[0], assumed[0], 0, SwitchLikelihood::kNever), 1e-8);
    for (size_t other = 1; other < assumed.size(); ++other) {
      for (size_t first = 0; first < made.moments.days.size(); ++first) {
        for (size_t last = first + 1; last <= made.moments.days.size(); ++last) {
          const size_t end = last == made.moments.days.size() ? SwitchLikelihood::kNever : last;
          const double quick = LogLikelihood(fast.Terms(other, first, end), 0.07);
          const double slow = SlowLn(made, assumed[0], assumed[other], first, end);
          ASSERT_NEAR(quick, slow, 1e-7 * std::max(1.0, std::abs(slow)))
              << "seed " << seed << ", series " << other << ", days " << first << " to " << last;
        }
      }
    }
  }
}

// A wrong read is the same reads with the right number put in.
TEST(WeighAll, AReadTakenTimesAFactorWeighsAsTheReadPutRight) {
  const Case made = MakeCase(3);
  const Explanations ways = ExplanationsFor(made.records, made.moments, made.flow);
  const SwitchLikelihood likelihood(made.moments, made.volumes, ways.series);
  const auto weighed = WeighAll(made.records, made.moments, made.dial, ways, likelihood, made.flow);
  int checked = 0;
  for (const Weighed& each : weighed) {
    if (each.kind != VerdictKind::kReadMistake || each.first < 0 || each.parameter != 10) continue;
    const auto read = static_cast<size_t>(each.first);
    std::vector<ReadVolume> volumes = made.volumes;
    const double added_m3 = 9 * made.dial[read].read.total.cubic_metres();
    if (read > 0) volumes[read - 1].volume_m3 += added_m3;
    if (read < volumes.size()) volumes[read].volume_m3 -= added_m3;
    if (read > 0) volumes[read - 1].variance_m6 += 1.0 / 12;
    if (read < volumes.size()) volumes[read].variance_m6 += 1.0 / 12;
    const SwitchLikelihood right(made.moments, volumes, ways.series);
    const double ln = LogLikelihood(right.BaseTerms(), made.flow.relative_sd) + std::log(10.0) +
                      std::log(PriorOf(VerdictKind::kReadMistake) * 0.8 / 4 * 0.7 / 13);
    EXPECT_NEAR(each.ln_weight, ln, 1e-6 * std::abs(ln));
    ++checked;
  }
  EXPECT_EQ(checked, 4);
}

// Priors are odds of one thing or another: each kind's parts sum to the whole.
TEST(WeighAll, PriorsOfEachKindSumToItsOwn) {
  Case made = MakeCase(5);
  // Reads that say nothing: every explanation is as likely as any other, so that weights are priors.
  for (ReadVolume& volume : made.volumes) volume.variance_m6 = 1e30;
  for (DialRead& read : made.dial) read.read.total = Volume::CubicMetres(0);
  const Explanations ways = ExplanationsFor(made.records, made.moments, made.flow);
  const SwitchLikelihood likelihood(made.moments, made.volumes, ways.series);
  const auto weighed = WeighAll(made.records, made.moments, made.dial, ways, likelihood, made.flow);
  std::array<double, kVerdictKinds> sums{};
  const double ran = weighed.front().ln_weight - std::log(PriorOf(VerdictKind::kRanAsSet));
  for (const Weighed& each : weighed) sums[static_cast<size_t>(each.kind)] += std::exp(each.ln_weight - ran);
  for (const VerdictKind kind :
       {VerdictKind::kStopped, VerdictKind::kStuckOpen, VerdictKind::kWrongClockOrDay,
        VerdictKind::kPercentChanged, VerdictKind::kFlowDrifted, VerdictKind::kDribbling}) {
    EXPECT_NEAR(sums[static_cast<size_t>(kind)], PriorOf(kind), 1e-6) << ToText(kind);
  }
  double all = 0;
  for (int kind = 0; kind < kVerdictKinds; ++kind) all += PriorOf(static_cast<VerdictKind>(kind));
  EXPECT_NEAR(all, 1, 1e-12);
}

TEST(SumUp, ProbabilitiesSumToOneHoweverFarApartTheWeights) {
  std::vector<Weighed> weighed;
  for (int i = 0; i < 40; ++i) {
    Weighed each;
    each.kind = static_cast<VerdictKind>(i % kVerdictKinds);
    each.first = i;
    each.ln_weight = -700.0 * (i % 7) - 5000;
    weighed.push_back(each);
  }
  double sum = 0;
  for (const KindOdds& kind : SumUp(weighed)) sum += kind.probability;
  EXPECT_NEAR(sum, 1, 1e-12);
}

}  // namespace
}  // namespace lastreach
