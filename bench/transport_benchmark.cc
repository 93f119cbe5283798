// How fast the exact transport is, against the least that any residual model must do: one std::exp for each
// segment and step, over arrays of the same size, in the same run.
//
//   build/bench/transport_benchmark
//   build/bench/transport_benchmark --benchmark_filter=Bulk
//
// Counters:
//   pipe_steps_per_s  segments x steps of the drive, answered for all taps
//   pieces_per_s      breakpoints worked out; a pipe-step needs several, one for each front and bend that
//   passes ratio_to_exp      time of a pipe-step over that of the plain pass
#include <benchmark/benchmark.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <numbers>
#include <vector>

#include "quality/transport.h"

namespace lastreach {
namespace {

constexpr int kDays = 14;
constexpr int kRunsPerDay = 4;
constexpr double kRun_s = 1200;
constexpr double kHour_s = 3600;
constexpr double kDay_s = 86400;
constexpr double kVolume_m3 = 6;
constexpr double kDemand_m3_per_s = 3e-5;

struct Case {
  Branch branch;
  BranchDrive drive;
  double from_s = 7 * kDay_s;
  double to_s = kDays * kDay_s;
  std::size_t pipe_steps() const { return branch.segments.size() * drive.steps(); }
};

// A fortnight of hourly demand and four runs a day on a reach with evenly spaced services.
Case MakeCase(int taps, double wall_m_per_s) {
  Case made;
  for (int j = 0; j < taps; ++j) {
    made.branch.segments.push_back({.length_m = kVolume_m3 / taps / (std::numbers::pi / 4 * 0.15 * 0.15),
                                    .diameter_m = 0.15,
                                    .tap_demand_m3_per_s = kDemand_m3_per_s / taps,
                                    .bulk_per_s = 0.6 / kDay_s,
                                    .wall_m_per_s = wall_m_per_s});
  }
  BranchDrive& drive = made.drive;
  drive.time_s.push_back(0);
  const auto step = [&](double end_s, double factor, double flow) {
    drive.time_s.push_back(end_s);
    drive.demand_factor.push_back(factor);
    drive.end_flow_m3_per_s.push_back(flow);
  };
  for (int hour = 0; hour < kDays * 24; ++hour) {
    const double begin_s = hour * kHour_s;
    const double factor = 1 + 0.7 * std::sin(2 * std::numbers::pi * (hour % 24 - 9) / 24.0);
    if (hour % (24 / kRunsPerDay) == 2) {
      step(begin_s + 600, factor, 0);
      step(begin_s + 600 + kRun_s, factor, 1e-3);
    }
    step(begin_s + kHour_s, factor, 0);
  }
  drive.root_mg_per_l.assign(drive.time_s.size(), 1.0);
  return made;
}

// The answer first: nothing traced back at twenty thousand moments is lower, and the lowest is nearly met.
void CheckAnswer(const Case& c, const std::vector<TapLow>& lows) {
  constexpr int kMoments = 20000;
  std::vector<double> times;
  for (int k = 0; k <= kMoments; ++k) times.push_back(std::lerp(c.from_s, c.to_s, k / double{kMoments}));
  for (std::size_t tap = 0; tap < lows.size(); ++tap) {
    double traced = 1e300;
    for (const double residual : ResidualsAt(c.branch, c.drive, tap, times))
      traced = std::min(traced, residual);
    const double exact = lows[tap].lowest_mg_per_l;
    if (traced < exact * (1 - 1e-9) || traced > exact * 1.01) {
      std::fprintf(stderr, "tap %zu: lowest %.9f, traced %.9f: wrong, not timed\n", tap, exact, traced);
      std::exit(3);
    }
  }
}

// Of this process, so that a busy machine does not tilt the ratio.
double CpuSeconds() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

// The plain pass: what remains after each step in each pipe, one exponential each.
double PlainPassSeconds(const Case& c) {
  std::vector<double> left(c.pipe_steps());
  constexpr int kRepeats = 1000;
  const double begin_s = CpuSeconds();
  for (int repeat = 0; repeat < kRepeats; ++repeat) {
    std::size_t at = 0;
    for (const BranchSegment& segment : c.branch.segments) {
      for (std::size_t i = 0; i < c.drive.steps(); ++i, ++at) {
        left[at] = std::exp(-segment.bulk_per_s * (c.drive.time_s[i + 1] - c.drive.time_s[i]));
      }
    }
    benchmark::DoNotOptimize(left.data());
    benchmark::ClobberMemory();
  }
  return (CpuSeconds() - begin_s) / kRepeats;
}

void Lowest(benchmark::State& state, double wall_m_per_s) {
  const Case c = MakeCase(static_cast<int>(state.range(0)), wall_m_per_s);
  TransportWorkspace workspace;
  std::vector<TapLow> lows(c.branch.segments.size());
  LowestResiduals(c.branch, c.drive, c.from_s, c.to_s, {}, workspace, lows);
  CheckAnswer(c, lows);
  const double plain_before_s = PlainPassSeconds(c);
  const double begin_s = CpuSeconds();
  for ([[maybe_unused]] auto _ : state) {
    LowestResiduals(c.branch, c.drive, c.from_s, c.to_s, {}, workspace, lows);
    benchmark::DoNotOptimize(lows.data());
  }
  const double exact_s = (CpuSeconds() - begin_s) / static_cast<double>(state.iterations());
  const double plain_s = (plain_before_s + PlainPassSeconds(c)) / 2;
  state.counters["pipe_steps_per_s"] = static_cast<double>(c.pipe_steps()) / exact_s;
  state.counters["pieces_per_s"] = static_cast<double>(workspace.breakpoints) / exact_s;
  state.counters["pieces_per_pipe_step"] =
      static_cast<double>(workspace.breakpoints) / static_cast<double>(c.pipe_steps());
  state.counters["ratio_to_exp"] = exact_s / plain_s;
}

void BulkOnly(benchmark::State& state) { Lowest(state, 0); }
void WithWalls(benchmark::State& state) { Lowest(state, 5e-7); }

// The residual at the end at every instant of the drive, for a chart.
void SeriesAtTheEnd(benchmark::State& state) {
  const Case c = MakeCase(static_cast<int>(state.range(0)), 0);
  const double plain_before_s = PlainPassSeconds(c);
  const double begin_s = CpuSeconds();
  for ([[maybe_unused]] auto _ : state) {
    std::vector<double> series = ResidualsAt(c.branch, c.drive, c.branch.segments.size() - 1, c.drive.time_s);
    benchmark::DoNotOptimize(series.data());
  }
  const double exact_s = (CpuSeconds() - begin_s) / static_cast<double>(state.iterations());
  state.counters["pipe_steps_per_s"] = static_cast<double>(c.pipe_steps()) / exact_s;
  state.counters["ratio_to_exp"] = exact_s / ((plain_before_s + PlainPassSeconds(c)) / 2);
}

BENCHMARK(BulkOnly)->Arg(1)->Arg(4)->Arg(12)->Arg(30)->Unit(benchmark::kMicrosecond);
BENCHMARK(WithWalls)->Arg(1)->Arg(4)->Arg(12)->Arg(30)->Unit(benchmark::kMicrosecond);
BENCHMARK(SeriesAtTheEnd)->Arg(1)->Arg(12)->Unit(benchmark::kMicrosecond);

}  // namespace
}  // namespace lastreach

BENCHMARK_MAIN();
