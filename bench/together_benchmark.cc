// How fast devices that share mains are put apart: 30, 100 and 300 of them on a network of 20,000 links of
// town_like.h with an hourly day, each with 48 ways to run (its starts moved through the day by half hours)
// or, Night, 16 of them from 22:00 to 5:30,
// of which it wishes for the one at 2:00. Processor time of both
// threads.
//
//   build/bench/together_benchmark
//   build/bench/together_benchmark --benchmark_filter=/300
//
// The answer is checked before it is timed: every set of devices that meets at the care reached is solved
// anew by a judge of its own. Counters:
//   judge_s           of those seconds, to make the judge: base states, tanks, places
//   solves, reused    sets and drops solved; sets answered by others
//   places, sets      pressures looked after; sets found to break a limit though their drops add up to less
//   rows              of the integer programmes
//   care              0 all clocks may be wrong, 1 any one, 2 all right
//   gap               water over its bound, less 1
//   moved             from where they were wished
//   solve_ms          one state of the network with one device open, from a near answer, in the same run
//   solves_worth      the whole over solve_ms
#include <benchmark/benchmark.h>

#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <random>

#include "hydraulics/steady_solver.h"
#include "network/structure.h"
#include "together/meetings.h"
#include "together/stagger.h"
#include "town_week.h"

namespace lastreach {
namespace {

constexpr int kLinks = 20000;
constexpr int kWays = 48;
constexpr double kLeastPressure_m = 14.06;  // 20 psi
constexpr int kWishedStart_min = 120;
constexpr int kNightBegins_min = 22 * 60;
constexpr int kNightEnds_min = 5 * 60 + 30;

double CpuSeconds() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

struct System {
  Network network;
  std::vector<TogetherDevice> devices;
  std::vector<DrawingPoint> points;
  std::vector<LeastPressureThere> limits = {{"", kLeastPressure_m, "made up"}};
};

// Ground and mains that leave little to spare: 4 m at the highest customers, some 25 devices at once.
void MakeTight(Network& network, std::mt19937_64& random) {
  for (Node& node : network.nodes) {
    const double z_m = std::uniform_real_distribution<double>(0, 42.5)(random);
    node.elevation_m = Sourced<double>{z_m, {}};
    if (node.kind == NodeKind::kSource) node.head_m = 60;
  }
  for (Link& link : network.links) {
    if (link.inner_diameter_m->value > 0.2) link.inner_diameter_m->value = 0.2;
  }
}

System MakeSystem(int count, bool at_night) {
  System system;
  std::mt19937_64 random(20261125);
  const auto in = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  system.network = TownWeek(kLinks, false);
  system.network.runs.clear();
  MakeTight(system.network, random);
  const Adjacency adjacency(system.network);
  std::vector<NodeIndex> ends;
  for (uint32_t i = 0; i < system.network.nodes.size(); ++i) {
    if (adjacency.Degree(NodeIndex(i)) == 1) ends.push_back(NodeIndex(i));
  }
  for (int d = 0; d < count; ++d) {
    const auto at = static_cast<size_t>(in(0, static_cast<double>(ends.size())));
    system.points.push_back({ends[at], in(1e-3, 3e-3)});
    TogetherDevice device{"D" + std::to_string(d), "", false, system.points.back().flow_m3_per_s, {}};
    const int minutes = 10 + static_cast<int>(in(0, 20));
    for (int k = 0; k < kWays; ++k) {
      const int start = k * kMinutesADay / kWays;
      if (at_night && start > kNightEnds_min && start < kNightBegins_min) continue;
      OpenTimes week;
      for (int day = 0; day < 7; ++day) {
        week.push_back({day * kMinutesADay + start, day * kMinutesADay + start + minutes});
      }
      const double water = device.flow_m3_per_s * 60 * minutes * in(1, 1.1);
      device.ways.push_back({ShiftedTimes(week, 0, 0), water, start == kWishedStart_min});
    }
    system.devices.push_back(std::move(device));
  }
  return system;
}

StaggerAnswer Answer(const System& system, PressureJudge& judge) {
  auto answer = Stagger(system.devices, {}, &judge);
  if (!answer.ok()) std::exit(1);
  return *std::move(answer);
}

void CheckFirst(const System& system, const StaggerAnswer& answer) {
  auto judge = PressureJudge::Make(system.network, system.points, system.limits);
  const TimeTable table(system.devices, {});
  Shares shares(system.devices.size());
  for (size_t d = 0; d < shares.size(); ++d) {
    if (answer.way[d]) shares[d] = {{*answer.way[d], 1.0}};
  }
  if (answer.Found() &&
      FindBroken(*judge, MeetingsOf(table, judge->moments(), shares, answer.care), 1).empty()) {
    return;
  }
  for (const StaggerConflict& conflict : answer.conflicts)
    std::fprintf(stderr, "%s\n", conflict.Words().c_str());
  std::fprintf(stderr, "what was chosen breaks a limit\n");
  std::exit(1);
}

double SolveSeconds(const System& system, const PressureJudge& judge) {
  auto solver = SteadySolver::Make(judge.moments().network);
  Supply supply = judge.moments().states.front();
  benchmark::DoNotOptimize(solver->Solve(supply));
  const double start_s = CpuSeconds();
  for (const DrawingPoint& point : system.points) {
    supply.demand_m3_per_s[At(point.node)] += point.flow_m3_per_s;
    benchmark::DoNotOptimize(solver->Solve(supply));
    supply.demand_m3_per_s[At(point.node)] -= point.flow_m3_per_s;
  }
  return (CpuSeconds() - start_s) / static_cast<double>(system.points.size());
}

void Run(benchmark::State& state, bool at_night) {
  const System system = MakeSystem(static_cast<int>(state.range(0)), at_night);
  bool checked = false;
  for (auto _ : state) {
    const double start_s = CpuSeconds();
    auto judge = PressureJudge::Make(system.network, system.points, system.limits);
    if (!judge.ok()) std::exit(1);
    const StaggerAnswer answer = Answer(system, *judge);
    const double all_s = (CpuSeconds() - start_s);
    state.SetIterationTime(all_s);
    if (!checked) CheckFirst(system, answer);
    checked = true;
    const double solve_s = SolveSeconds(system, *judge);
    state.counters["judge_s"] = judge->summary().prepare_s;
    state.counters["solves"] = static_cast<double>(judge->summary().solves);
    state.counters["reused"] = static_cast<double>(judge->summary().reused);
    state.counters["places"] = static_cast<double>(answer.summary.places);
    state.counters["sets"] = static_cast<double>(answer.summary.sets);
    state.counters["rows"] = static_cast<double>(answer.summary.rows);
    state.counters["rounds"] = answer.summary.rounds;
    state.counters["groups"] = static_cast<double>(answer.summary.groups);
    state.counters["care"] = static_cast<double>(answer.care);
    state.counters["gap"] = answer.water_m3_per_day / answer.bound_m3_per_day - 1;
    state.counters["moved"] = answer.moved;
    state.counters["solve_ms"] = solve_s * 1000;
    state.counters["solves_worth"] = all_s / solve_s;
  }
}
void Together(benchmark::State& state) { Run(state, false); }
void Night(benchmark::State& state) { Run(state, true); }
BENCHMARK(Together)->Arg(30)->Arg(100)->Arg(300)->Unit(benchmark::kSecond)->UseManualTime()->Iterations(1);
BENCHMARK(Night)->Arg(30)->Arg(100)->Arg(300)->Unit(benchmark::kSecond)->UseManualTime()->Iterations(1);

}  // namespace
}  // namespace lastreach

BENCHMARK_MAIN();
