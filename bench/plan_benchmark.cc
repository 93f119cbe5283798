// How long a plan of one device takes, against trying everything that the same small timer can be keyed to
// with the same draws, in the same run.
//
//   build/bench/plan_benchmark
//   build/bench/plan_benchmark --benchmark_filter=Rich
//
// Counters:
//   plan_s               CPU time of one plan
//   enumeration_s        CPU time of trying every setting of the small timer (SmallTimer only)
//   enumeration_ratio    the one over the other
//   settings             how many were tried
#include <benchmark/benchmark.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <limits>
#include <vector>

#include "plan/plan_device.h"
#include "plan/search.h"
#include "plan/sureness.h"
#include "plan/test_devices.h"

namespace lastreach {
namespace {

constexpr int kSmallDraws = 40;
constexpr int kSmallSeasonDays = 14;
constexpr int kMinutesStep = 10;
constexpr int kMinutesMax = 120;

double CpuSeconds() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

std::vector<DayPattern> EveryPattern(Date season_from) {
  std::vector<DayPattern> patterns = {OddDates{}, EvenDates{}};
  for (unsigned bits = 1; bits < 128; ++bits) patterns.emplace_back(Weekdays{bits});
  for (int n = 2; n <= 4; ++n) patterns.emplace_back(EveryNDays{n, AddDays(season_from, -70 * n)});
  return patterns;
}

struct Enumerated {
  double least_m3_per_day = std::numeric_limits<double>::infinity();
  int settings = 0;
};

// Every setting of one start, each tried over the whole season in the draws that a plan must stand.
Enumerated EnumerateAll(const DeviceFacts& facts, const PlanOptions& options) {
  const PlanningNumbers numbers = *GatherNumbers(facts, options);
  Trial trial(facts.form, options.zone, numbers);
  SurenessJudge searched(trial, StratifiedDraws(kSmallDraws, options.seed), GuessSlopes(numbers));
  SurenessJudge confirmed(trial, PlainDraws(kSmallDraws, options.seed + 1), GuessSlopes(numbers));
  const DateWindow season{options.from, options.to};
  Enumerated all;
  for (const DayPattern& days : EveryPattern(options.from)) {
    for (int start = 0; start < 1440; start += *facts.form.start_step_minutes) {
      for (int run_minutes = kMinutesStep; run_minutes <= kMinutesMax; run_minutes += kMinutesStep) {
        TimerSettings settings;
        settings.programmes = {{{start}, run_minutes, days, {}}};
        ++all.settings;
        if (!searched.Holds(settings, {season}, options.sureness) ||
            !confirmed.Holds(settings, {season}, options.sureness)) {
          continue;
        }
        const auto runs = ExpandRuns(facts.form, settings, options.zone, season, {});
        all.least_m3_per_day =
            std::min(all.least_m3_per_day, static_cast<double>(runs.size()) * run_minutes * 60 *
                                               numbers.flow_m3_per_s / kSmallSeasonDays);
      }
    }
  }
  return all;
}

void SmallTimer(benchmark::State& state) {
  DeviceFacts facts = MadeUpDevice(static_cast<int>(state.range(0)), 150);
  facts.form = SmallForm(1, 1, kMinutesStep, kMinutesMax);
  PlanOptions options = FourWeeks();
  options.to = AddDays(options.from, kSmallSeasonDays);
  options.draws = kSmallDraws;
  options.confirming_draws = kSmallDraws;

  const double enumeration_begin_s = CpuSeconds();
  const Enumerated all = EnumerateAll(facts, options);
  const double enumeration_s = CpuSeconds() - enumeration_begin_s;
  const DevicePlan plan = PlanDevice(facts, options);
  if (!plan.planned_outcome ||
      plan.planned_outcome->water_m3_per_day > all.least_m3_per_day * (1 + kSameWater)) {
    std::fprintf(stderr, "enumeration needs %.3f m3/d and the plan more: wrong, not timed\n",
                 all.least_m3_per_day);
    std::exit(3);
  }

  const double begin_s = CpuSeconds();
  for ([[maybe_unused]] auto _ : state) benchmark::DoNotOptimize(PlanDevice(facts, options));
  const double plan_s = (CpuSeconds() - begin_s) / static_cast<double>(state.iterations());
  state.counters["plan_s"] = plan_s;
  state.counters["enumeration_s"] = enumeration_s;
  state.counters["enumeration_ratio"] = enumeration_s / plan_s;
  state.counters["settings"] = all.settings;
}

// A timer of three programmes of four starts keyed to the minute, as planned every day, with default draws.
void RichTimer(benchmark::State& state) {
  const int services = static_cast<int>(state.range(0));
  const DeviceFacts facts = MadeUpDevice(services, 200 + 12 * services);
  const double begin_s = CpuSeconds();
  for ([[maybe_unused]] auto _ : state) {
    const DevicePlan plan = PlanDevice(facts, FourWeeks());
    if (plan.verdict != Verdict::kChange || plan.planned_outcome->sureness < 0.9) {
      std::fprintf(stderr, "%d services: no sure plan: wrong, not timed\n", services);
      std::exit(3);
    }
  }
  state.counters["plan_s"] = (CpuSeconds() - begin_s) / static_cast<double>(state.iterations());
}

BENCHMARK(SmallTimer)->Arg(0)->Arg(3)->Unit(benchmark::kMillisecond);
BENCHMARK(RichTimer)->Arg(0)->Arg(2)->Arg(12)->Arg(30)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace lastreach

BENCHMARK_MAIN();
