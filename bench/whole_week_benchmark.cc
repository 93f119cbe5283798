// All of it: a week of flows and what they carry, age and chlorine at every node, hourly demands and 50
// devices on timers (town_week.h), as `lastreach simulate` does it but for reading and printing. Before a
// time is given the water and the disinfectant must balance to 1e-9 of what entered.
//
//   build/bench/whole_week_benchmark
//   build/bench/whole_week_benchmark --benchmark_filter=/100000/
//
// WholeWeek draws the same from every size of town, so that the water of the greatest hardly moves;
// WholeWeekOfDistricts lets every ten thousand links draw that, from a source of their own.
//
// One thread; seconds of processor time. Counters:
//   stretches            of time in which flows stay as they are
//   flows_s, quality_s   the two halves
//   pipe_steps_per_s     links times stretches over the whole
//   pieces_per_step      pieces of water moved a link and stretch
//   peak_mib             most memory of this process so far: for one size, run that alone
//
// ExpOfMany and CopyOfMuch say what the machine gives: exponentials and bytes a second, on one core.
#include <benchmark/benchmark.h>
#include <sys/resource.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <string>
#include <vector>

#include "hydraulics/flow_simulation.h"
#include "quality/network_transport.h"
#include "town_week.h"

namespace lastreach {
namespace {

double CpuSeconds() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

struct Halves {
  double flows_s = 0, quality_s = 0;
  double stretches = 0, pieces = 0;
};

void Refuse(const std::string& why) {
  std::fprintf(stderr, "the week is wrong: %s\n", why.c_str());
  std::exit(1);
}

void CheckBalances(const Network& network, const FlowSimulation& flows, const NetworkTransport& transport) {
  constexpr double kShare = 1e-9;
  const FlowSimulationSummary& summary = flows.summary();
  if (!summary.IsUsable() || !summary.not_fed.empty()) Refuse(summary.BriefReport(network));
  if (std::abs(summary.Imbalance_m3()) > kShare * summary.drawn_m3) Refuse("water is missing");
  const NetworkMassAccount account = transport.Account();
  if (std::abs(account.imbalance_g()) > kShare * account.entered_g) Refuse("disinfectant is missing");
}

Halves RunWeek(const Network& network) {
  auto flows = FlowSimulation::Make(network, {.hours = 24.0 * kDays});
  if (!flows.ok()) Refuse(flows.error().message);
  auto transport = NetworkTransport::Make(network, NetworkQualityOptions{});
  if (!transport.ok()) Refuse(transport.error().message);
  Halves halves;
  FlowPeriod period;
  for (double since_s = CpuSeconds();;) {
    const Result<bool> more = flows->Next(period);
    if (!more.ok()) Refuse(more.error().message);
    const double solved_s = CpuSeconds();
    halves.flows_s += solved_s - since_s;
    since_s = solved_s;
    if (!*more) break;
    if (const Status moved = transport->Advance(period); !moved.ok()) Refuse(moved.error().message);
    since_s = CpuSeconds();
    halves.quality_s += since_s - solved_s;
    ++halves.stretches;
  }
  halves.pieces = static_cast<double>(transport->counts().pieces_moved);
  CheckBalances(network, *flows, *transport);
  return halves;
}

double PeakMiB() {
  rusage used{};
  getrusage(RUSAGE_SELF, &used);
  return static_cast<double>(used.ru_maxrss) / 1024;
}

void TimeWeek(benchmark::State& state, Network network) {
  network.options.bulk_per_day = 0.5;
  network.options.wall_m_per_day = 0.1;
  for (Node& node : network.nodes) {
    if (node.kind == NodeKind::kSource) node.chlorine_mg_per_l = 1.2;
  }
  Halves halves;
  for (auto _ : state) halves = RunWeek(network);
  const double steps = halves.stretches * static_cast<double>(network.links.size());
  state.counters["stretches"] = halves.stretches;
  state.counters["flows_s"] = halves.flows_s;
  state.counters["quality_s"] = halves.quality_s;
  state.counters["pipe_steps_per_s"] = steps / (halves.flows_s + halves.quality_s);
  state.counters["pieces_per_step"] = halves.pieces / steps;
  state.counters["peak_mib"] = PeakMiB();
}

void WholeWeek(benchmark::State& state) {
  TimeWeek(state, TownWeek(static_cast<int>(state.range(0)), false));
}
BENCHMARK(WholeWeek)
    ->Arg(1'000)
    ->Arg(10'000)
    ->Arg(100'000)
    ->Arg(1'000'000)
    ->Unit(benchmark::kSecond)
    ->Iterations(1);

void WholeWeekOfDistricts(benchmark::State& state) {
  TimeWeek(state, TownWeek(static_cast<int>(state.range(0)), false, true));
}
BENCHMARK(WholeWeekOfDistricts)
    ->Arg(10'000)
    ->Arg(100'000)
    ->Arg(1'000'000)
    ->Unit(benchmark::kSecond)
    ->Iterations(1);

void ExpOfMany(benchmark::State& state) {
  std::vector<double> values(4096);
  for (size_t i = 0; i < values.size(); ++i) values[i] = -static_cast<double>(i) / 1000;
  double sum = 0;
  for (auto _ : state) {
    for (const double value : values) sum += std::exp(value);
  }
  benchmark::DoNotOptimize(sum);
  state.counters["exp_per_s"] =
      benchmark::Counter(static_cast<double>(values.size()), benchmark::Counter::kIsIterationInvariantRate);
}
BENCHMARK(ExpOfMany);

void CopyOfMuch(benchmark::State& state) {
  const std::vector<double> from(size_t{16} << 20, 1.0);
  std::vector<double> to(from.size());
  for (auto _ : state) {
    std::copy(from.begin(), from.end(), to.begin());
    benchmark::ClobberMemory();
  }
  const auto bytes = static_cast<double>(2 * sizeof(double) * from.size());
  state.counters["bytes_per_s"] = benchmark::Counter(bytes, benchmark::Counter::kIsIterationInvariantRate);
}
BENCHMARK(CopyOfMuch)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace lastreach

BENCHMARK_MAIN();
