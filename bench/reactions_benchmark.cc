// Chlorine beside two reactants: one stay; a town-like network against the same with loss of first order; a
// reach under household pulses on one thread and on all.
#include <benchmark/benchmark.h>

#include <cmath>
#include <cstdlib>
#include <memory>
#include <random>
#include <vector>

#include "core/quantity.h"
#include "hydraulics/steady_solver.h"
#include "quality/ensemble.h"
#include "quality/network_transport.h"
#include "quality/reactants.h"
#include "town_like.h"

namespace lastreach {
namespace {

constexpr TwoReactantLaw kLaw{
    .fast_l_per_mg_per_s = 0.5 / 3600, .slow_l_per_mg_per_s = 0.01 / 3600, .thm_ug_per_mg = 40};

// Minutes of stay, beside a wall. Checked: cut in two it is the same.
void OneStay(benchmark::State& state) {
  std::mt19937_64 random(1);
  const auto unit = [&] { return static_cast<double>(random() >> 11) * 0x1p-53; };
  std::vector<ReactingWater> waters(1000);
  for (ReactingWater& water : waters) water = {0.2 + 1.8 * unit(), 0.5 * unit(), 1.5 * unit(), 0};
  const double seconds = 60.0 * static_cast<double>(state.range(0));
  constexpr double kWall_per_s = 1e-6;
  for (const ReactingWater& water : waters) {
    const double whole = React(kLaw, water, kWall_per_s, seconds).chlorine_mg_per_l;
    const ReactingWater half = React(kLaw, water, kWall_per_s, seconds / 2);
    if (std::abs(React(kLaw, half, kWall_per_s, seconds / 2).chlorine_mg_per_l / whole - 1) > 1e-9) {
      return state.SkipWithError("two halves are not the whole");
    }
  }
  for (auto _ : state) {
    for (const ReactingWater& water : waters) {
      benchmark::DoNotOptimize(React(kLaw, water, kWall_per_s, seconds).chlorine_mg_per_l);
    }
  }
  state.SetItemsProcessed(state.iterations() * static_cast<int64_t>(waters.size()));
}
BENCHMARK(OneStay)->ArgName("minutes")->Arg(1)->Arg(12)->Arg(60)->Arg(300)->Arg(1440)->Arg(10080);

struct TownDay {
  TownLike town;
  std::vector<std::vector<double>> flow, outflow;  // of each hour

  explicit TownDay(int links) : town(links) {
    Network& network = town.network;
    network.options.wall_m_per_day = 0.1;
    for (Node& node : network.nodes) {
      node.demand_m3_per_s *= links / 10000.0;
      if (node.kind == NodeKind::kSource) node.chlorine_mg_per_l = 1;
    }
    auto solver = SteadySolver::Make(network);
    Supply supply = *SupplyAt(network, 0);
    for (int hour = 0; hour < 24; ++hour) {
      for (std::size_t n = 0; n < network.nodes.size(); ++n) {
        supply.demand_m3_per_s[n] =
            network.nodes[n].demand_m3_per_s * (1 + 0.6 * std::cos(hour / 4.0 + static_cast<double>(n % 3)));
      }
      const auto solved = solver->Solve(supply);
      if (!solved.ok() || !(*solved)->summary.IsUsable()) std::exit(1);
      flow.emplace_back((*solved)->flow_m3_per_s.begin(), (*solved)->flow_m3_per_s.end());
      outflow.emplace_back((*solved)->outflow_m3_per_s.begin(), (*solved)->outflow_m3_per_s.end());
    }
  }
};

// Three days. Reactants 0: first order; 1: two reactants. Checked: no more chlorine than entered, none below
// 0.
void TownOfTwoReactants(benchmark::State& state) {
  TownDay day(static_cast<int>(state.range(0)));
  Network& network = day.town.network;
  network.options.bulk_per_day = 0.5;
  if (state.range(1) == 1) {
    network.options.two_reactants = TwoReactants{.fast_l_per_mg_per_day = 12,
                                                 .slow_l_per_mg_per_day = 0.24,
                                                 .fast_mg_per_l = 0.3,
                                                 .slow_mg_per_l = 1.5,
                                                 .thm_ug_per_mg = 40};
  }
  const std::vector<double> none(network.nodes.size(), 0);
  for (auto _ : state) {
    Result<NetworkTransport> water = NetworkTransport::Make(network, {});
    for (int hour = 0; hour < 72; ++hour) {
      const auto h = static_cast<std::size_t>(hour % 24);
      const FlowPeriod period{
          hour * kSecondsPerHour, (hour + 1) * kSecondsPerHour, day.flow[h], day.outflow[h], none, none};
      if (!water->Advance(period).ok()) return state.SkipWithError("a period was refused");
    }
    const SpanStatistics residual = water->Span(Quantity::kChlorine);
    for (std::size_t n = 0; n < network.nodes.size(); ++n) {
      if (residual.lowest[n] < 0 || residual.greatest[n] > 1 + 1e-6) {
        return state.SkipWithError("chlorine out of range");
      }
    }
    const NetworkTransportCounts& counts = water->counts();
    state.counters["link_periods_per_s"] =
        benchmark::Counter(static_cast<double>(counts.link_periods), benchmark::Counter::kIsRate);
    state.counters["moved"] = static_cast<double>(counts.pieces_moved);
    state.counters["peak_pieces_per_link"] =
        static_cast<double>(counts.peak_pieces) / static_cast<double>(network.links.size());
    state.counters["error"] = water->worst_error(Quantity::kChlorine);
  }
}
BENCHMARK(TownOfTwoReactants)
    ->ArgNames({"links", "reactants"})
    ->Args({1000, 0})
    ->Args({1000, 1})
    ->Args({10000, 0})
    ->Args({10000, 1})
    ->Unit(benchmark::kMillisecond);

// Ten homes on 200 m, seven days, sixteen draws. Checked: the spread is that of one thread.
void ReachUnderPulses(benchmark::State& state) {
  const double home = HouseholdMoments({}).mean_m3_per_s;
  const Branch branch{std::vector<BranchSegment>(
      10, {.length_m = 20, .diameter_m = 0.15, .tap_demand_m3_per_s = home, .bulk_per_s = 1.5 / 86400})};
  BranchDrive drive{.time_s = {0, 7 * kSecondsPerDay},
                    .demand_factor = {1},
                    .end_flow_m3_per_s = {0},
                    .root_mg_per_l = {1, 1}};
  EnsembleOptions options{
      .members = 16, .judge_from_s = 4 * kSecondsPerDay, .dispersion = {.cell_length_m = 2}, .threads = 1};
  const auto one = SpreadUnderPulses(branch, drive, {}, options);
  options.threads = static_cast<unsigned>(state.range(0));
  for (auto _ : state) {
    const auto many = SpreadUnderPulses(branch, drive, {}, options);
    if (many.back().lowest_mg_per_l != one.back().lowest_mg_per_l) {
      return state.SkipWithError("the number of threads changed the answer");
    }
  }
}
BENCHMARK(ReachUnderPulses)->ArgName("threads")->Arg(1)->Arg(2)->UseRealTime()->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace lastreach

BENCHMARK_MAIN();
