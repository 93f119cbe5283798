// How fast a steady state is, against the least that any solver on heads must do once: one numeric
// factorisation and one solve of the matrix of all nodes, by the same library, in the same run. Processor
// time, so that other work on the machine counts little.
//
//   build/bench/hydraulics_benchmark
//   build/bench/hydraulics_benchmark --benchmark_filter=Steady/100000
//
// The networks are drawn like towns: streets on a bent grid of which a fifth of the blocks is missing, a few
// mains of 300 mm among pipes of 100 to 150 mm, a third of all links in trees, one source, 100 mL/s a
// thousand links and node. Counters:
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
#include <numeric>
#include <random>

#include "hydraulics/core_matrix.h"
#include "hydraulics/head_loss.h"
#include "hydraulics/solve.h"

namespace lastreach {
namespace {

// Of the plain matrix; the best round counts, as the harder yardstick.
constexpr int kRounds = 3;
constexpr int kRepeats = 5;

double CpuSeconds() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

class Town {
 public:
  explicit Town(int links) : random_(20261125) {
    const int side = std::max(3, static_cast<int>(std::sqrt(links * (2.0 / 3) / 1.6)));
    for (int i = 0; i < side * side; ++i) AddNode();
    LayStreets(side);
    while (static_cast<int>(network.links.size()) < links) {
      const auto beside = NodeIndex(static_cast<uint32_t>(Pick(static_cast<int>(network.nodes.size()))));
      AddPipe(beside, AddNode(), 0.1);
    }
    Node& source = network.nodes[static_cast<size_t>(side / 20 * 10 * side + side / 20 * 10)];
    source.kind = NodeKind::kSource;
    source.head_m = 100;
    for (Node& node : network.nodes) node.demand_m3_per_s *= 100.0 / links;
  }
  Network network;

 private:
  struct Block {
    int from = 0, to = 0;
    bool is_main = false;
  };
  // Blocks in any order: one that joins two parts is laid, of the others four in five.
  void LayStreets(int side) {
    std::vector<Block> blocks;
    for (int i = 0; i < side * side; ++i) {
      const int row = i / side, column = i % side;
      if (column + 1 < side) blocks.push_back({i, i + 1, row % 10 == 0});
      if (row + 1 < side) blocks.push_back({i, i + side, column % 10 == 0});
    }
    std::shuffle(blocks.begin(), blocks.end(), random_);
    std::vector<int> root(static_cast<size_t>(side * side));
    std::iota(root.begin(), root.end(), 0);
    const auto find = [&](int i) {
      while (root[static_cast<size_t>(i)] != i) {
        i = root[static_cast<size_t>(i)] = root[static_cast<size_t>(root[static_cast<size_t>(i)])];
      }
      return i;
    };
    for (const Block& block : blocks) {
      const int a = find(block.from), b = find(block.to);
      if (a == b && !block.is_main && Pick(5) == 0) continue;
      root[static_cast<size_t>(a)] = b;
      AddPipe(NodeIndex(static_cast<uint32_t>(block.from)), NodeIndex(static_cast<uint32_t>(block.to)),
              block.is_main ? 0.3 : 0.1 + 0.05 * Pick(2));
    }
  }
  int Pick(int below) { return std::uniform_int_distribution<int>(0, below - 1)(random_); }
  NodeIndex AddNode() {
    Node node;
    node.id = std::to_string(network.nodes.size());
    node.demand_m3_per_s = std::uniform_real_distribution<double>(0, 2e-3)(random_);
    network.nodes.push_back(node);
    return NodeIndex(static_cast<uint32_t>(network.nodes.size() - 1));
  }
  void AddPipe(NodeIndex from, NodeIndex to, double diameter_m) {
    Link link;
    link.id = std::to_string(network.links.size());
    link.from = from;
    link.to = to;
    link.length_m.value = std::uniform_real_distribution<double>(20, 150)(random_);
    link.inner_diameter_m = Sourced<double>{diameter_m, {}};
    link.roughness = Sourced<double>{std::uniform_real_distribution<double>(90, 140)(random_), {}};
    network.links.push_back(link);
  }
  std::mt19937_64 random_;
};

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
  const Town town(static_cast<int>(run.range(0)));
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
