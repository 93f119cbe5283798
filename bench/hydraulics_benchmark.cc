// How fast a steady state is, against the least that any solver on heads must do once: one numeric
// factorisation and one solve of the matrix of all nodes, by Eigen's SimplicialLDLT with AMD, in the same
// run. Processor time, so that other work on the machine counts little.
//
//   build/bench/hydraulics_benchmark
//   build/bench/hydraulics_benchmark --benchmark_filter=Steady/100000
//   build/bench/hydraulics_benchmark FOLDER       a network of plain tables
//
// The networks are those of town_like.h. Each answer is checked before it is timed. Counters:
//   ratio              full solve from a flat start over one factorisation and solve of the unreduced matrix;
//                      what depends on the pipes alone apart (prepare_ms, symbolic_ms)
//   ratio_with_prepare  the same with all of that in the solve
//   steps, factors     steps on heads and flows, and how many of them with a factorisation
//   unknown_heads      solved together; the rest is trees and chains
//   matrix_ms          that one factorisation and solve
//   device_share       one device of 1 L/s more at a far end, over the full solve
//   hour_share         all demands a fifth more, over the full solve
// Device/LINKS/MICROLITRES/MILLIMETRES: one device of so many microlitres a second, switched on and off in
// turn, as a share of the full solve, the middle and the worst of several places: ends of trees, and nodes of
// three links or more. Followed to the tolerances of a full solve (0), or so that no head is off by more than
// that (CoreOptions::followed_head_error_m); then also, in millimetres, the greatest error that was stated
// and that which was found beside full solves.
#include <benchmark/benchmark.h>
#include <Eigen/SparseCholesky>
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <memory>
#include <vector>

#include "hydraulics/head_loss.h"
#include "hydraulics/steady_solver.h"
#include "network/plain_tables.h"
#include "network/structure.h"
#include "town_like.h"

namespace lastreach {
namespace {

constexpr int kRepeats = 7;  // of the plain matrix; the best counts, as the harder yardstick

double CpuSeconds() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

// One factorisation and one solve of the matrix of every junction that is fed, at the answer's own
// conductances.
double UnreducedMatrix_s(const Network& network, const SteadyState& state) {
  std::vector<int> number(network.nodes.size(), -1);
  int unknowns = 0;
  for (size_t i = 0; i < number.size(); ++i) {
    if (!IsFeeder(network.nodes[i]) && std::isfinite(state.head_m[i])) number[i] = unknowns++;
  }
  std::vector<Eigen::Triplet<double>> entries;
  for (size_t i = 0; i < network.links.size(); ++i) {
    const Link& link = network.links[i];
    const double drive_m = std::abs(state.head_m[At(link.from)] - state.head_m[At(link.to)]);
    if (IsShut(link) || !std::isfinite(drive_m)) continue;
    const double conductance = std::max(1e-9, std::abs(state.flow_m3_per_s[i])) / std::max(1e-9, drive_m);
    const int a = number[At(link.from)], b = number[At(link.to)];
    if (a >= 0) entries.emplace_back(a, a, conductance);
    if (b >= 0) entries.emplace_back(b, b, conductance);
    if (a >= 0 && b >= 0) entries.emplace_back(std::max(a, b), std::min(a, b), -conductance);
  }
  Eigen::SparseMatrix<double> matrix(unknowns, unknowns);
  matrix.setFromTriplets(entries.begin(), entries.end());
  Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>, Eigen::Lower, Eigen::AMDOrdering<int>> factor;
  factor.analyzePattern(matrix);
  Eigen::VectorXd right = Eigen::VectorXd::Constant(unknowns, 1e-3);
  double best_s = 1e9;
  for (int i = 0; i < kRepeats; ++i) {
    const double begin_s = CpuSeconds();
    factor.factorize(matrix);
    right = factor.solve(right).eval();
    if (factor.info() != Eigen::Success) std::abort();
    best_s = std::min(best_s, CpuSeconds() - begin_s);
  }
  return best_s;
}

[[noreturn]] void Refuse(const std::string& why) {
  std::fprintf(stderr, "the answer is wrong: %s\n", why.c_str());
  std::exit(1);
}

const SteadyState& Checked(const Network& network, const Result<const SteadyState*>& answer) {
  if (!answer.ok()) Refuse(answer.error().ToString());
  const SteadySummary& summary = (*answer)->summary;
  if (!summary.IsUsable() || summary.mass_imbalance_m3_per_s > 1e-8 || summary.energy_imbalance_m > 1e-5) {
    Refuse(summary.BriefReport(network));
  }
  return **answer;
}

// Two supplies in turn: the processor time of the second alone.
double TimeOfChange_s(SteadySolver& solver, const Supply& before, const Supply& after, int rounds) {
  double sum_s = 0;
  for (int i = 0; i < rounds; ++i) {
    if (!solver.Solve(before).ok()) Refuse("before a change");
    const double begin_s = CpuSeconds();
    if (!solver.Solve(after).ok()) Refuse("after a change");
    sum_s += CpuSeconds() - begin_s;
  }
  return sum_s / rounds;
}

// The end of a tree or, where there is none, any junction: the last of the table that is fed.
size_t FarEnd(const Network& network, const SteadyState& state) {
  const Adjacency adjacency(network);
  size_t end = 0;
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    const bool counts = !IsFeeder(network.nodes[i]) && std::isfinite(state.head_m[i]);
    if (counts && adjacency.Degree(NodeIndex(i)) == 1) end = i;
  }
  return end;
}

void MeasureSteady(benchmark::State& run, const Network& network) {
  const Supply supply = *SupplyAt(network, 0);
  double begin_s = CpuSeconds();
  Result<SteadySolver> solver = SteadySolver::Make(network);
  if (!solver.ok()) Refuse(solver.error().ToString());
  const SteadyState first = Checked(network, solver->Solve(supply));
  const double with_prepare_s = CpuSeconds() - begin_s;
  begin_s = CpuSeconds();
  for ([[maybe_unused]] auto _ : run) {
    solver->Forget();
    benchmark::DoNotOptimize(solver->Solve(supply).ok());
  }
  const double full_s = (CpuSeconds() - begin_s) / static_cast<double>(run.iterations());
  Supply device = supply, hour = supply;
  device.demand_m3_per_s[FarEnd(network, first)] += 1e-3;
  for (double& demand : hour.demand_m3_per_s) demand *= 1.2;
  Checked(network, solver->Solve(device));
  Checked(network, solver->Solve(hour));
  const int rounds = std::max(3, static_cast<int>(0.3 / full_s));
  const double plain_s = UnreducedMatrix_s(network, first);
  run.counters["ratio"] = full_s / plain_s;
  run.counters["ratio_with_prepare"] = with_prepare_s / plain_s;
  run.counters["steps"] = first.summary.iterations;
  run.counters["factors"] = first.summary.factorisations;
  run.counters["unknown_heads"] = static_cast<double>(first.summary.unknown_heads);
  run.counters["matrix_ms"] = 1e3 * plain_s;
  run.counters["prepare_ms"] = 1e3 * first.summary.prepare_s;
  run.counters["symbolic_ms"] = 1e3 * first.summary.symbolic_s;
  run.counters["device_share"] = TimeOfChange_s(*solver, supply, device, rounds) / full_s;
  run.counters["hour_share"] = TimeOfChange_s(*solver, supply, hour, rounds) / full_s;
}

struct Shares {
  double middle = 0, worst = 0;
};

struct NearErrors {
  double stated_m = 0, found_m = 0;
};

void CheckNear(const Network& network, const Supply& supply, const SteadyState& near, NearErrors& errors) {
  const SteadySummary& summary = near.summary;
  const double stated_m = summary.head_error_bound_m;
  if (!summary.IsUsable() || stated_m < 0) Refuse("a device was to be followed nearly");
  if (summary.mass_imbalance_m3_per_s > 1e-8) Refuse(summary.BriefReport(network));
  const Result<SteadyState> fresh = SolveSteady(network, supply);
  double found_m = 0;
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    found_m = std::max(found_m, std::abs(fresh->head_m[i] - near.head_m[i]));
  }
  if (!(found_m <= stated_m + 1e-6)) Refuse("heads are further off than stated");
  errors.stated_m = std::max(errors.stated_m, stated_m);
  errors.found_m = std::max(errors.found_m, found_m);
}

// As SharesOfDevice, nearly; every place is checked, on and off.
Shares SharesOfDeviceNearly(const Network& network, SteadySolver& solver, const std::vector<size_t>& places,
                            double device_m3_per_s, double full_s, NearErrors& errors) {
  constexpr int kRounds = 5;
  const Supply off = *SupplyAt(network, 0);
  std::vector<double> shares;
  for (const size_t place : places) {
    Supply on = off;
    on.demand_m3_per_s[place] += device_m3_per_s;
    CheckNear(network, on, **solver.Solve(on), errors);
    CheckNear(network, off, **solver.Solve(off), errors);
    shares.push_back(TimeOfChange_s(solver, off, on, kRounds) / full_s);
  }
  std::sort(shares.begin(), shares.end());
  return {shares[shares.size() / 2], shares.back()};
}

// On and off at each place, the first round not counted; the answer against one from nothing.
Shares SharesOfDevice(const Network& network, SteadySolver& solver, const std::vector<size_t>& places,
                      double device_m3_per_s, double full_s) {
  constexpr int kRounds = 3;
  const Supply off = *SupplyAt(network, 0);
  std::vector<double> shares;
  for (const size_t place : places) {
    Supply on = off;
    on.demand_m3_per_s[place] += device_m3_per_s;
    const SteadyState followed = Checked(network, solver.Solve(on));
    if (place == places.front()) {
      const Result<SteadyState> fresh = SolveSteady(network, on);
      for (size_t i = 0; i < network.links.size(); ++i) {
        if (std::abs(fresh->flow_m3_per_s[i] - followed.flow_m3_per_s[i]) > 1e-6) Refuse("a device followed");
      }
    }
    double sum_s = 0;
    for (int round = 0; round < kRounds; ++round) {
      const double begin_s = CpuSeconds();
      Checked(network, solver.Solve(off));
      Checked(network, solver.Solve(on));
      sum_s += CpuSeconds() - begin_s;
    }
    shares.push_back(sum_s / (2 * kRounds) / full_s);
  }
  std::sort(shares.begin(), shares.end());
  return {shares[shares.size() / 2], shares.back()};
}

void Device(benchmark::State& run) {
  constexpr size_t kPlaces = 5;
  const TownLike town(static_cast<int>(run.range(0)));
  const Network& network = town.network;
  const double device_m3_per_s = static_cast<double>(run.range(1)) * 1e-9;
  const Adjacency adjacency(network);
  std::vector<size_t> ends, core;
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    const size_t degree = adjacency.Degree(NodeIndex(i));
    if (IsFeeder(network.nodes[i]) || degree == 2) continue;
    (degree == 1 ? ends : core).push_back(i);
  }
  const auto some = [](const std::vector<size_t>& all) {
    std::vector<size_t> places;
    for (size_t k = 0; k < kPlaces; ++k) places.push_back(all[all.size() * (2 * k + 1) / (2 * kPlaces)]);
    places.front() = all.back();
    return places;
  };
  CoreOptions options;
  options.followed_head_error_m = static_cast<double>(run.range(2)) * 1e-3;
  Result<SteadySolver> solver = SteadySolver::Make(network, options);
  const Supply supply = *SupplyAt(network, 0);
  Checked(network, solver->Solve(supply));
  double full_s = 0;
  for ([[maybe_unused]] auto _ : run) {
    const double begin_s = CpuSeconds();
    solver->Forget();
    benchmark::DoNotOptimize(solver->Solve(supply).ok());
    full_s += CpuSeconds() - begin_s;
  }
  full_s /= static_cast<double>(run.iterations());
  NearErrors errors;
  const auto shares = [&](const std::vector<size_t>& places) {
    return options.followed_head_error_m > 0
               ? SharesOfDeviceNearly(network, *solver, places, device_m3_per_s, full_s, errors)
               : SharesOfDevice(network, *solver, places, device_m3_per_s, full_s);
  };
  const Shares at_ends = shares(some(ends)), in_core = shares(some(core));
  run.counters["ends"] = at_ends.middle;
  run.counters["ends_worst"] = at_ends.worst;
  run.counters["core"] = in_core.middle;
  run.counters["core_worst"] = in_core.worst;
  if (options.followed_head_error_m == 0) return;
  run.counters["stated_mm"] = 1e3 * errors.stated_m;
  run.counters["found_mm"] = 1e3 * errors.found_m;
}
BENCHMARK(Device)
    ->ArgsProduct({{10'000, 100'000}, {10'000, 30'000, 100'000, 1'000'000}, {0}})
    ->ArgsProduct({{100'000}, {100'000}, {1}})
    ->ArgsProduct({{100'000}, {1'000'000}, {20}})
    ->Unit(benchmark::kMillisecond)
    ->MinTime(0.5);

void Steady(benchmark::State& run) {
  const TownLike town(static_cast<int>(run.range(0)));
  MeasureSteady(run, town.network);
}
BENCHMARK(Steady)
    ->Arg(1'000)
    ->Arg(10'000)
    ->Arg(100'000)
    ->Arg(1'000'000)
    ->Unit(benchmark::kMillisecond)
    ->MinTime(1);

}  // namespace
}  // namespace lastreach

int main(int argc, char** argv) {
  benchmark::Initialize(&argc, argv);
  if (argc > 1) {
    auto network = lastreach::ReadNetworkFolder(argv[1]);
    if (!network.ok()) {
      std::fprintf(stderr, "%s\n", network.error().ToString().c_str());
      return 2;
    }
    const auto shared = std::make_shared<lastreach::Network>(*std::move(network));
    benchmark::ClearRegisteredBenchmarks();
    benchmark::RegisterBenchmark(argv[1],
                                 [shared](benchmark::State& run) { lastreach::MeasureSteady(run, *shared); })
        ->Unit(benchmark::kMillisecond)
        ->MinTime(1);
  }
  benchmark::RunSpecifiedBenchmarks();
  return 0;
}
