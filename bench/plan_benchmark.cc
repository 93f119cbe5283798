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
//   device_seasons_per_s plans a second of processor time, 100 draws each way (FiftyDevices only)
//   transports           how many general transports of one settings, one draw and one clock a plan costs
#include <benchmark/benchmark.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <limits>
#include <vector>

#include "plan/measure.h"
#include "plan/plan_device.h"
#include "plan/search.h"
#include "plan/sureness.h"
#include "plan/test_devices.h"
#include "quality/transport.h"

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

// Reaches of 1 to 8 services and 60 to 500 m, walls from none to iron, free chlorine or chloramine.
std::vector<DeviceFacts> FiftyMadeUp() {
  std::vector<DeviceFacts> devices;
  for (int i = 0; i < 50; ++i) {
    DeviceFacts facts = MadeUpDevice(1 + i * 5 % 8, 60 + i * 37 % 440);
    facts.supply.wall_m_per_day = Typed(i % 3 == 0 ? 0.0 : i % 3 == 1 ? 0.01 : 0.2);
    facts.supply.demand_per_service = Measured(Flow::LitresPerSecond(0.001 + 0.001 * (i % 4)));
    if (i % 4 == 0) {
      facts.supply.disinfectant = Disinfectant::kChloramine;
      facts.supply.bulk_per_day_at_20c = Measured(0.08);
    }
    if (i % 2 == 0) facts.limits = {Rule(ForbiddenHours{6 * 60, 9 * 60})};
    devices.push_back(std::move(facts));
  }
  return devices;
}

// The share of the fresh draws in which a plan holds, by the general transport, over the days round its worst
// moment. `transports`: how many were made.
double SurenessInGeneral(const DeviceFacts& facts, const PlanOptions& options, const DevicePlan& plan,
                         int& transports) {
  const PlanningNumbers numbers = *GatherNumbers(facts, options);
  const Date worst = DateOf(Instant(plan.planned_outcome->lowest_when));
  const DateWindow judged{std::max(options.from, AddDays(worst, -1)), AddDays(worst, 2)};
  const DateWindow whole{AddDays(judged.from, -20), judged.to};
  const TimerSettings settings = KeyedLongAgo(plan.settings);
  const auto moment = [](Date date) { return MinuteInstant(std::chrono::sys_days(date)); };  // UTC
  const double from_s = 20 * kSecondsPerDay;
  int held = 0;
  for (const Deviates& draw : PlainDraws(static_cast<size_t>(options.confirming_draws), options.seed + 1)) {
    const ReachModel model = ModelReach(numbers, draw);
    bool holds = true;
    for (const int fast_min : kClockErrors_min) {
      const auto runs = ExpandRuns(facts.form, settings, options.zone, whole, {false, fast_min});
      const BranchDrive drive = DriveOf(model, runs, options.zone, moment(whole.from), moment(whole.to));
      const auto lows = LowestResiduals(model.branch, drive, from_s, drive.time_s.back(), model.kinetics);
      ++transports;
      for (const size_t tap : model.judged) holds &= lows[tap].lowest_mg_per_l >= numbers.target_mg_per_l;
    }
    held += holds ? 1 : 0;
  }
  return held / static_cast<double>(options.confirming_draws);
}

void FiftyDevices(benchmark::State& state) {
  const std::vector<DeviceFacts> devices = FiftyMadeUp();
  PlanOptions options = FourWeeks();
  options.to = AddDays(options.from, 122);
  options.draws = 100;
  options.confirming_draws = 100;
  double transport_s = 0;
  int transports = 0;
  int planned = 0;
  for (const DeviceFacts& facts : devices) {
    const DevicePlan plan = PlanDevice(facts, options);
    if (plan.verdict == Verdict::kNoFlushNeeded || plan.verdict == Verdict::kCannotHold) continue;
    const double before_s = CpuSeconds();
    const double share = SurenessInGeneral(facts, options, plan, transports);
    transport_s += CpuSeconds() - before_s;
    // A draw within rounding of the target may fall on either side.
    if (plan.verdict != Verdict::kChange || share < options.sureness - 0.01 ||
        plan.planned_outcome->water_m3_per_day < plan.bound_m3_per_day) {
      std::fprintf(stderr, "%d services: sure %.3f by the general transport: wrong, not timed\n",
                   plan.reach.services, share);
      std::exit(3);
    }
    ++planned;
  }
  if (planned < 30) {
    std::fprintf(stderr, "only %d of 50 devices have settings: too few to be timed\n", planned);
    std::exit(3);
  }
  const double begin_s = CpuSeconds();
  for ([[maybe_unused]] auto _ : state) {
    for (const DeviceFacts& facts : devices) benchmark::DoNotOptimize(PlanDevice(facts, options));
  }
  const double plan_s = (CpuSeconds() - begin_s) / static_cast<double>(state.iterations()) /
                        static_cast<double>(devices.size());
  state.counters["plan_s"] = plan_s;
  state.counters["device_seasons_per_s"] = 1 / plan_s;
  state.counters["transports"] = plan_s / (transport_s / transports);
}

BENCHMARK(FiftyDevices)->Unit(benchmark::kMillisecond)->Iterations(1);
BENCHMARK(SmallTimer)->Arg(0)->Arg(3)->Unit(benchmark::kMillisecond);
BENCHMARK(RichTimer)->Arg(0)->Arg(2)->Arg(12)->Arg(30)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace lastreach

BENCHMARK_MAIN();
