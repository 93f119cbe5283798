#include "quality/household_pulses.h"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "core/quantity.h"
#include "quality/named_random.h"

namespace lastreach {
namespace {

// Longer than nearly any pulse: with the default law one in a million lasts an hour.
constexpr double kBefore_s = kSecondsPerHour;

double Rounded(double value, double per_unit) { return std::round(value * per_unit) / per_unit; }

// Arrivals of a rate that is constant in steps, before the first as in it: the next one comes when an
// exponential amount of rate x time has gone by.
template <typename Arrive>
void WalkArrivals(std::span<const double> time_s, std::span<const double> factor, double rate_per_s,
                  NamedRandom& random, const Arrive& arrive) {
  double left = random.Exponential();
  for (std::size_t i = 0; i < factor.size(); ++i) {
    double at_s = i == 0 ? time_s[0] - kBefore_s : time_s[i];
    const double rate = rate_per_s * factor[i];
    while (left < rate * (time_s[i + 1] - at_s)) {
      at_s += left / rate;
      arrive(at_s);
      left = random.Exponential();
    }
    left -= rate * (time_s[i + 1] - at_s);
  }
}

struct Edge {
  double time_s = 0;
  uint32_t tap = 0;
  bool opens = false;
  uint32_t pulse = 0;
};

}  // namespace

PulseMoments HouseholdMoments(const PulseLaw& law) {
  const double open = law.per_household_per_day / kSecondsPerDay * law.duration_mean_s;
  const double mean = law.intensity_mean_m3_per_s;
  const double deviation = law.intensity_deviation_m3_per_s;
  return {.mean_m3_per_s = open * mean,
          .variance_m6_per_s2 = open * (mean * mean + deviation * deviation),
          .no_flow_share = std::exp(-open)};
}

std::vector<Pulse> DrawPulses(const PulseLaw& law, double mean_m3_per_s, std::span<const double> time_s,
                              std::span<const double> factor, std::string_view name, uint64_t tap) {
  std::vector<Pulse> pulses;
  const double rate_per_s = mean_m3_per_s / (law.duration_mean_s * law.intensity_mean_m3_per_s);
  NamedRandom random(name, tap);
  WalkArrivals(time_s, factor, rate_per_s, random, [&](double at_s) {
    const double lasts_s = random.LogNormal(law.duration_mean_s, law.duration_deviation_s);
    const double flow = random.LogNormal(law.intensity_mean_m3_per_s, law.intensity_deviation_m3_per_s);
    const double begin_s = std::max(Rounded(at_s, 1e3), time_s.front());
    const double end_s = std::min(Rounded(at_s + lasts_s, 1e3), time_s.back());
    const double rounded_flow = Rounded(flow, 1e9);
    if (end_s > begin_s && rounded_flow > 0) pulses.push_back({begin_s, end_s, rounded_flow});
  });
  return pulses;
}

std::vector<DrawChange> DrawDemand(const PulseLaw& law, const Branch& branch, const BranchDrive& drive,
                                   std::string_view name) {
  std::vector<std::vector<Pulse>> pulses(branch.segments.size());
  std::vector<Edge> edges;
  for (uint32_t tap = 0; tap < pulses.size(); ++tap) {
    pulses[tap] = DrawPulses(law, branch.segments[tap].tap_demand_m3_per_s, drive.time_s, drive.demand_factor,
                             name, tap);
    for (uint32_t i = 0; i < pulses[tap].size(); ++i) {
      edges.push_back({pulses[tap][i].begin_s, tap, true, i});
      edges.push_back({pulses[tap][i].end_s, tap, false, i});
    }
  }
  const auto order = [](const Edge& edge) {
    return std::tuple(edge.time_s, edge.tap, edge.opens, edge.pulse);
  };
  std::sort(edges.begin(), edges.end(), [&](const Edge& a, const Edge& b) { return order(a) < order(b); });
  std::vector<std::vector<uint32_t>> open(pulses.size());
  std::vector<DrawChange> changes;
  for (std::size_t i = 0; i < edges.size(); ++i) {
    const Edge& edge = edges[i];
    std::vector<uint32_t>& running = open[edge.tap];
    if (edge.opens) {
      running.push_back(edge.pulse);
    } else {
      std::erase(running, edge.pulse);
    }
    const bool more_here =
        i + 1 < edges.size() && edges[i + 1].time_s == edge.time_s && edges[i + 1].tap == edge.tap;
    if (more_here) continue;
    // Summed anew each time: adding and taking away would leave a trickle of rounding.
    double draw = 0;
    for (const uint32_t pulse : running) draw += pulses[edge.tap][pulse].flow_m3_per_s;
    changes.push_back({edge.time_s, edge.tap, draw});
  }
  return changes;
}

}  // namespace lastreach
