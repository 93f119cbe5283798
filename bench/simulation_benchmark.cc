// How fast flows through time are: a week with a factor for every hour and 50 devices that each run half an
// hour a night, on the networks of town_like.h. Processor time. Held against solving every stretch anew from
// a flat start, in the same run.
//
//   build/bench/simulation_benchmark
//   build/bench/simulation_benchmark --benchmark_filter=Week/10000
//
// Week has a source alone, so that days repeat; TankWeek has three tanks with levels as well. Counters:
//   stretches        of time in which flows stay as they are
//   solved, reused   states, of them
//   ratio            time of the whole over that of as many solves from a flat start as there are stretches
//   beside           share of the time that is not the solver's
//   stretches_per_s
#include <benchmark/benchmark.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <ctime>

#include "hydraulics/flow_simulation.h"
#include "town_week.h"

namespace lastreach {
namespace {

double CpuSeconds() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

FlowSimulationSummary RunWeek(const Network& network) {
  auto simulation = FlowSimulation::Make(network, {.hours = 24.0 * kDays});
  FlowPeriod period;
  while (simulation.ok()) {
    const Result<bool> more = simulation->Next(period);
    if (!more.ok() || !*more) break;
    benchmark::DoNotOptimize(period.flow_m3_per_s.data());
  }
  return simulation->summary();
}

void CheckFirst(const Network& network) {
  const FlowSimulationSummary summary = RunWeek(network);
  const bool closes = std::abs(summary.Imbalance_m3()) <= 1e-9 * std::abs(summary.drawn_m3);
  if (summary.IsUsable() && summary.not_fed.empty() && closes && summary.hours == 24.0 * kDays) return;
  std::fprintf(stderr, "the week is wrong: %s; %g m3 of %g are missing\n",
               summary.BriefReport(network).c_str(), summary.Imbalance_m3(), summary.drawn_m3);
  std::exit(1);
}

double FlatSolve_s(const Network& network) {
  const double start_s = CpuSeconds();
  const auto state = SolveSteady(network);
  benchmark::DoNotOptimize(state);
  return CpuSeconds() - start_s;
}

void Run(benchmark::State& state, bool with_tanks) {
  const Network network = TownWeek(static_cast<int>(state.range(0)), with_tanks);
  CheckFirst(network);
  const double flat_s = std::min({FlatSolve_s(network), FlatSolve_s(network), FlatSolve_s(network)});
  FlowSimulationSummary summary;
  const double start_s = CpuSeconds();
  for (auto _ : state) summary = RunWeek(network);
  const double week_s = (CpuSeconds() - start_s) / static_cast<double>(state.iterations());
  const auto stretches = static_cast<double>(summary.periods);
  state.counters["stretches"] = stretches;
  state.counters["solved"] = static_cast<double>(summary.solves);
  state.counters["reused"] = static_cast<double>(summary.reused);
  state.counters["ratio"] = week_s / (stretches * flat_s);
  state.counters["beside"] = 1 - summary.solve_s / summary.total_s;
  state.counters["stretches_per_s"] = stretches / week_s;
}

void Week(benchmark::State& state) { Run(state, false); }
void TankWeek(benchmark::State& state) { Run(state, true); }
BENCHMARK(Week)->Arg(1000)->Arg(10000)->Arg(100000)->Unit(benchmark::kMillisecond);
BENCHMARK(TankWeek)->Arg(1000)->Arg(10000)->Arg(100000)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace lastreach

BENCHMARK_MAIN();
