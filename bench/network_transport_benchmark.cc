// Seven days of age and chlorine over a town-like network: hourly demands of three kinds of customers and 50
// devices on timers, about 1,600 periods. Flows are solved beforehand, those of one day, and used seven
// times.
#include <benchmark/benchmark.h>
#include <sys/resource.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <map>
#include <memory>
#include <set>
#include <vector>

#include "hydraulics/steady_solver.h"
#include "quality/network_transport.h"
#include "town_like.h"

namespace lastreach {
namespace {

constexpr int kDays = 7;
constexpr int kDevices = 50;
constexpr double kDay_s = 86400;

// Share of the average demand in each hour: homes, offices, works at night.
double FactorOf(int kind, double hour) {
  const double homes = 1 + 0.5 * std::cos((hour - 8) / 6 * 3.14159265) * (hour > 5 ? 1 : 0.3);
  const double offices = hour >= 8 && hour < 18 ? 1.9 : 0.35;
  const double night = hour < 6 || hour >= 22 ? 2.2 : 0.4;
  return kind == 0 ? homes : kind == 1 ? offices : night;
}

struct DayOfFlows {
  std::unique_ptr<TownLike> town;
  std::vector<double> begin_s;  // of each period of a day, and the day's end
  std::vector<std::vector<float>> flow, outflow;
};

// The periods of one day: whole hours, and the start and end of two runs a device.
DayOfFlows SolveDay(int links) {
  DayOfFlows day;
  day.town = std::make_unique<TownLike>(links);
  Network& network = day.town->network;
  network.options.bulk_per_day = 0.5;
  network.options.wall_m_per_day = 0.1;
  struct Run {
    std::size_t node;
    double begin_s, end_s;
  };
  std::vector<Run> runs;
  std::vector<std::size_t> ends(network.nodes.size(), 0);
  for (const Link& link : network.links) {
    ++ends[At(link.from)];
    ++ends[At(link.to)];
  }
  std::mt19937_64 random(7);
  std::set<double> instants;
  for (int h = 0; h <= 24; ++h) instants.insert(h * 3600.0);
  for (std::size_t n = 0; n < network.nodes.size() && runs.size() < 2 * kDevices; n += 7) {
    if (ends[n] != 1) continue;
    for (int r = 0; r < 2; ++r) {
      const double begin = 60.0 * static_cast<double>(random() % 1400);
      runs.push_back({n, begin, begin + 20 * 60});
      instants.insert(begin);
      instants.insert(begin + 20 * 60);
    }
  }
  for (Node& node : network.nodes) {
    node.demand_m3_per_s *= links / 10000.0;  // some 10 mL/s a node in towns of every size
    if (node.kind == NodeKind::kSource) node.chlorine_mg_per_l = 1;
  }
  day.begin_s.assign(instants.begin(), instants.end());
  auto solver = SteadySolver::Make(network);
  Supply supply = *SupplyAt(network, 0);
  for (std::size_t i = 0; i + 1 < day.begin_s.size(); ++i) {
    const double at = day.begin_s[i];
    for (std::size_t n = 0; n < network.nodes.size(); ++n) {
      supply.demand_m3_per_s[n] =
          network.nodes[n].demand_m3_per_s * FactorOf(static_cast<int>(n % 3), std::floor(at / 3600));
    }
    for (const Run& run : runs) {
      if (run.begin_s <= at && at < run.end_s) supply.demand_m3_per_s[run.node] += 3e-3;
    }
    const auto state = solver->Solve(supply);
    if (!state.ok() || !(*state)->summary.IsUsable()) std::exit(1);
    day.flow.emplace_back((*state)->flow_m3_per_s.begin(), (*state)->flow_m3_per_s.end());
    day.outflow.emplace_back((*state)->outflow_m3_per_s.begin(), (*state)->outflow_m3_per_s.end());
  }
  return day;
}

const DayOfFlows& DayOf(int links) {
  static std::map<int, DayOfFlows> kept;
  const auto found = kept.find(links);
  return found != kept.end() ? found->second : kept.emplace(links, SolveDay(links)).first->second;
}

double PeakMemory_mib() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return static_cast<double>(usage.ru_maxrss) / 1024;
}

void SevenDays(benchmark::State& state) {
  const DayOfFlows& day = DayOf(static_cast<int>(state.range(0)));
  const Network& network = day.town->network;
  const std::vector<double> none(network.nodes.size(), 0);
  const double before_mib = PeakMemory_mib();
  for (auto _ : state) {
    NetworkQualityOptions options;
    options.tolerance = static_cast<double>(state.range(1)) / 10000;
    Result<NetworkTransport> transport = NetworkTransport::Make(network, options);
    std::vector<double> flow, outflow;
    for (int d = 0; d < kDays; ++d) {
      for (std::size_t i = 0; i < day.flow.size(); ++i) {
        flow.assign(day.flow[i].begin(), day.flow[i].end());
        outflow.assign(day.outflow[i].begin(), day.outflow[i].end());
        const FlowPeriod period{
            d * kDay_s + day.begin_s[i], d * kDay_s + day.begin_s[i + 1], flow, outflow, none, none};
        if (!transport->Advance(period).ok()) return state.SkipWithError("a period was refused");
      }
    }
    const NetworkTransportCounts& counts = transport->counts();
    const NetworkMassAccount account = transport->Account();
    if (std::abs(account.imbalance_g()) > 1e-9 * account.entered_g) {
      return state.SkipWithError("the account does not close");
    }
    state.counters["periods"] = static_cast<double>(counts.periods);
    state.counters["link_periods"] = static_cast<double>(counts.link_periods);
    state.counters["link_periods_per_s"] =
        benchmark::Counter(static_cast<double>(counts.link_periods), benchmark::Counter::kIsRate);
    state.counters["moved_per_link_period"] =
        static_cast<double>(counts.pieces_moved) / static_cast<double>(counts.link_periods);
    state.counters["appended_per_link_period"] =
        static_cast<double>(counts.pieces_appended) / static_cast<double>(counts.link_periods);
    state.counters["peak_pieces_per_link"] =
        static_cast<double>(counts.peak_pieces) / static_cast<double>(network.links.size());
    state.counters["order_repairs"] = static_cast<double>(counts.order_repairs);
    state.counters["age_error_s"] = transport->worst_error(Quantity::kAge);
    state.counters["chlorine_error_percent"] = 100 * transport->worst_error(Quantity::kChlorine);
  }
  state.counters["memory_mib"] = PeakMemory_mib() - before_mib;
}
BENCHMARK(SevenDays)
    ->ArgNames({"links", "tolerance_e4"})
    ->Args({1000, 100})
    ->Args({10000, 100})
    ->Args({100000, 100})
    ->Iterations(1)
    ->Unit(benchmark::kSecond)
    ->MeasureProcessCPUTime();

}  // namespace
}  // namespace lastreach

BENCHMARK_MAIN();
