// How fast a steady state is, against the least that any solver on heads must do once: one numeric
// factorisation and one solve of the matrix of all nodes, by the same library, in the same run. Processor
// time, so that other work on the machine counts little.
//
//   build/bench/hydraulics_benchmark
//   build/bench/hydraulics_benchmark --benchmark_filter=Steady/100000
//
// The networks are those of town_like.h. Counters:
//   steps              Newton steps, each with one factorisation
//   unknown_heads      solved together; the rest is trees
//   ratio              time of a full solve from a flat start, symbolic work apart, over one factorisation
//   and
//                      solve of the unreduced matrix
//   ratio_with_symbolic  the same with the symbolic work in the solve
//   symbolic_s         pattern and order of the core, once (the least of all runs)
//   matrix_s           that one factorisation and solve
//   factor_s, backsolve_s, laws_s, prepare_s  phases of the last solve, wall time
//   links_per_s        links solved a second, all told
#include <benchmark/benchmark.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <ctime>

#include "hydraulics/core_matrix.h"
#include "hydraulics/head_loss.h"
#include "hydraulics/solve.h"
#include "town_like.h"

namespace lastreach {
namespace {

// Of the plain matrix; the best round counts, as the harder yardstick.
constexpr int kRounds = 3;
constexpr int kRepeats = 5;

double CpuSeconds() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

// One factorisation and one solve of the matrix of every junction, at the answer's own conductances.
double UnreducedMatrix_s(const Network& network, const SteadyState& state) {
  std::vector<uint32_t> number(network.nodes.size());
  uint32_t unknowns = 0;
  for (size_t i = 0; i < number.size(); ++i) {
    if (network.nodes[i].kind == NodeKind::kJunction) number[i] = unknowns++;
  }
  uint32_t fixed = unknowns;
  for (size_t i = 0; i < number.size(); ++i) {
    if (network.nodes[i].kind != NodeKind::kJunction) number[i] = fixed++;
  }
  std::vector<std::pair<uint32_t, uint32_t>> ends;
  std::vector<double> conductance;
  for (size_t i = 0; i < network.links.size(); ++i) {
    const Link& link = network.links[i];
    ends.emplace_back(number[At(link.from)], number[At(link.to)]);
    const PipeLoss pipe = PipeLossOf(
        {link.length_m.value, link.inner_diameter_m->value, link.roughness->value, link.minor_loss},
        network.options);
    conductance.push_back(1 / LossOf(pipe, state.flow_m3_per_s[i]).slope_s_per_m2);
  }
  CoreMatrix matrix(unknowns, ends);
  std::vector<double> right(unknowns, 1e-3);
  double best_s = 1e9;
  for (int i = 0; i < kRepeats; ++i) {
    const auto start = std::chrono::steady_clock::now();
    if (!matrix.Factor(conductance)) std::abort();
    matrix.Solve(right);
    best_s =
        std::min(best_s, std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count());
  }
  return best_s;
}

void Steady(benchmark::State& run) {
  const TownLike town(static_cast<int>(run.range(0)));
  const auto checked = SolveSteady(town.network);
  if (!checked.ok() || !checked->summary.IsUsable() || !checked->summary.not_fed.empty() ||
      checked->summary.mass_imbalance_m3_per_s > 1e-9 || checked->summary.energy_imbalance_m > 1e-6) {
    std::fprintf(stderr, "the answer is wrong: %s\n",
                 checked.ok() ? checked->summary.BriefReport(town.network).c_str() : "refused");
    std::exit(1);
  }
  double symbolic_s = checked->summary.symbolic_s;
  SteadySummary last;
  const double begin_s = CpuSeconds();
  for ([[maybe_unused]] auto _ : run) {
    const auto state = SolveSteady(town.network);
    symbolic_s = std::min(symbolic_s, state->summary.symbolic_s);
    last = state->summary;
    benchmark::DoNotOptimize(state->head_m.data());
  }
  const double whole_s = (CpuSeconds() - begin_s) / static_cast<double>(run.iterations());
  const double plain_s = UnreducedMatrix_s(town.network, *checked);
  run.counters["steps"] = checked->summary.iterations;
  run.counters["unknown_heads"] = static_cast<double>(checked->summary.unknown_heads);
  run.counters["ratio"] = (whole_s - symbolic_s) / plain_s;
  run.counters["ratio_with_symbolic"] = whole_s / plain_s;
  run.counters["symbolic_s"] = symbolic_s;
  run.counters["matrix_s"] = plain_s;
  run.counters["factor_s"] = last.factor_s;
  run.counters["backsolve_s"] = last.backsolve_s;
  run.counters["laws_s"] = last.laws_s;
  run.counters["prepare_s"] = last.prepare_s;
  run.counters["links_per_s"] = static_cast<double>(town.network.links.size()) / whole_s;
}
BENCHMARK(Steady)->Arg(1'000)->Arg(10'000)->Arg(100'000)->Unit(benchmark::kMillisecond)->MinTime(2);

}  // namespace
}  // namespace lastreach

BENCHMARK_MAIN();
