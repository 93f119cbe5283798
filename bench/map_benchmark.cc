// How long a drawing takes to become a network: streets of a made-up city, a block to a line, with one line
// in ten that falls short of the street it belongs to.
//
//   build/bench/map_benchmark
//
// Counters:
//   lines_per_s       lines joined up, network and repairs included
//   times_all_pairs   how many times faster than looking at all pairs of lines, in the same run (small city)
//   peak_mib          the most memory the program has held so far
#include <benchmark/benchmark.h>
#include <sys/resource.h>

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <random>

#include "map/flat_lines.h"
#include "map/join_up.h"
#include "map/plane.h"

namespace lastreach {
namespace {

struct City {
  Drawing drawing;
  int short_ones = 0;
};

// `side` streets each way, 100 m apart; cross streets a block to a line, through streets a block to a line
// too but bent, 2 side (side - 1) lines in all.
City MakeCity(int side) {
  City city;
  const Plane plane({-99.9, 42.2});
  std::mt19937 random(20261125);
  const auto add = [&](std::vector<PlanePoint> points) {
    DrawnMain main;
    main.key = {"city", std::to_string(city.drawing.mains.size())};
    for (const PlanePoint p : points) main.line.push_back(plane.From(p));
    city.drawing.mains.push_back(std::move(main));
  };
  for (int i = 0; i < side; ++i) {
    for (int j = 0; j + 1 < side; ++j) {
      const double x = 100.0 * j;
      const double y = 100.0 * i;
      std::vector<PlanePoint> bent;
      for (int k = 0; k <= 6; ++k) bent.push_back({x + 100.0 * k / 6, y + (k % 6 == 0 ? 0 : 3.0 * (k % 2))});
      add(bent);
      // Half-way along the through street's block below and above, where nobody drew a point.
      const double at = 100.0 * i + 100.0 / 12;
      const double low = 100.0 * j + 1.5;
      const bool falls_short = i + 1 < side && random() % 10 == 0;
      city.short_ones += falls_short ? 1 : 0;
      if (i + 1 < side)
        add({{at, low},
             {at, low + 100 - (falls_short ? 0.5 + static_cast<double>(random() % 100) / 100 : 0)}});
    }
  }
  return city;
}

double PeakMib() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return static_cast<double>(usage.ru_maxrss) / 1024;
}

JoinedMap Checked(const City& city) {
  const auto joined = JoinUp(city.drawing);
  if (!joined.ok() || joined->summary.parts != 1 || joined->summary.repairs_made != city.short_ones) {
    std::fprintf(stderr, "the city is not joined up right: %d parts, %d repairs for %d short lines\n",
                 joined.ok() ? joined->summary.parts : -1, joined.ok() ? joined->summary.repairs_made : -1,
                 city.short_ones);
    std::exit(1);
  }
  return *joined;
}

void BM_JoinUp(benchmark::State& state) {
  const City city = MakeCity(static_cast<int>(state.range(0)));
  Checked(city);
  for (auto _ : state) benchmark::DoNotOptimize(JoinUp(city.drawing));
  const auto lines = static_cast<double>(city.drawing.mains.size());
  state.counters["lines"] = lines;
  state.counters["lines_per_s"] = benchmark::Counter(lines, benchmark::Counter::kIsIterationInvariantRate);
  state.counters["peak_mib"] = PeakMib();
}
BENCHMARK(BM_JoinUp)->Arg(56)->Arg(112)->Arg(224)->Unit(benchmark::kMillisecond);

// The least that can be done without an index: the distance from every end to every segment.
void BM_AllPairs(benchmark::State& state) {
  const City city = MakeCity(28);
  Checked(city);
  const Plane plane({-99.9, 42.2});
  std::vector<FlatLine> lines;
  for (uint32_t i = 0; i < city.drawing.mains.size(); ++i) {
    lines.push_back(*Flatten(city.drawing.mains[i], i, plane, 0.01));
  }
  const auto begun = std::chrono::steady_clock::now();
  const auto joined = JoinUp(city.drawing);
  const std::chrono::duration<double> ours = std::chrono::steady_clock::now() - begun;
  double slow_s = 0;
  for (auto _ : state) {
    const auto slow_begun = std::chrono::steady_clock::now();
    double sum_m = 0;
    for (const FlatLine& line : lines) {
      for (const PlanePoint p : {line.points.front(), line.points.back()}) {
        double least_m = 1e9;
        for (const FlatLine& other : lines) {
          for (size_t i = 1; i < other.points.size(); ++i) {
            const double at_m = NearestOnSegment(p, other.points[i - 1], other.points[i]).distance_m;
            if (&other != &line && at_m < least_m) least_m = at_m;
          }
        }
        sum_m += least_m;
      }
    }
    benchmark::DoNotOptimize(sum_m);
    slow_s += std::chrono::duration<double>(std::chrono::steady_clock::now() - slow_begun).count();
  }
  state.counters["lines"] = static_cast<double>(lines.size());
  state.counters["times_all_pairs"] = slow_s / static_cast<double>(state.iterations()) / ours.count();
}
BENCHMARK(BM_AllPairs)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace lastreach

BENCHMARK_MAIN();
