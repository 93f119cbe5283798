#include "together/pressure_moments.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <set>

#include "hydraulics/flow_simulation.h"

namespace lastreach {
namespace {

constexpr size_t kHoursADay = 24;
constexpr size_t kHoursAWeek = 7 * kHoursADay;
constexpr double kSecondsPerHour = 3600;
constexpr double kLevelAtMark_m = 1e-6;

void HoldOddPatterns(PressureMoments& moments) {
  std::set<std::string> of_sources;
  for (const Node& node : moments.network.nodes) {
    if (node.kind == NodeKind::kSource) of_sources.insert(node.pattern);
  }
  for (Pattern& pattern : moments.network.patterns) {
    if (pattern.factors.empty() || kHoursAWeek % pattern.factors.size() == 0) continue;
    const bool lowest = of_sources.contains(pattern.id);
    const auto [least, most] = std::minmax_element(pattern.factors.begin(), pattern.factors.end());
    pattern.factors = {lowest ? *least : *most};
    moments.assumed.push_back("pattern '" + pattern.id + "' repeats neither daily nor weekly: held at its " +
                              (lowest ? "least" : "greatest") + " factor");
  }
}

size_t MomentCount(const Network& network) {
  for (const Pattern& pattern : network.patterns) {
    if (!pattern.factors.empty() && kHoursADay % pattern.factors.size() != 0) return kHoursAWeek;
  }
  return kHoursADay;
}

// What a simulated week tells of each moment.
struct WeekSeen {
  std::vector<std::vector<double>> level_m;  // by moment, size nodes: lowest; infinity where no tank
  std::vector<std::vector<char>> was_still;  // by moment, size links
};

bool HasLevels(const Network& network) {
  return std::any_of(network.nodes.begin(), network.nodes.end(),
                     [](const Node& node) { return node.kind == NodeKind::kTank && node.tank.has_value(); });
}

void Note(const Network& network, const FlowPeriod& period, WeekSeen& seen) {
  const size_t moments = seen.level_m.size();
  const double seconds = period.end_s - period.begin_s;
  const auto first = static_cast<size_t>(period.begin_s / kSecondsPerHour);
  const auto past = static_cast<size_t>(std::ceil(period.end_s / kSecondsPerHour - 1e-9));
  for (size_t hour = first; hour < std::max(past, first + 1); ++hour) {
    std::vector<double>& level_m = seen.level_m[hour % moments];
    for (size_t i = 0; i < network.nodes.size(); ++i) {
      const Node& node = network.nodes[i];
      if (node.kind != NodeKind::kTank || !node.tank) continue;
      const double area_m2 = std::numbers::pi / 4 * node.tank->diameter_m * node.tank->diameter_m;
      const double volume_m3 = period.tank_volume_m3[i] + std::min(0.0, period.outflow_m3_per_s[i] * seconds);
      level_m[i] = std::min(level_m[i], volume_m3 / area_m2);
    }
    std::vector<char>& was_still = seen.was_still[hour % moments];
    for (const LinkRule& rule : network.rules) {
      if (period.flow_m3_per_s[At(rule.link)] == 0) was_still[At(rule.link)] = 1;
    }
  }
}

Result<WeekSeen> SimulateWeek(const Network& network, size_t moments) {
  WeekSeen seen;
  seen.level_m.assign(moments,
                      std::vector<double>(network.nodes.size(), std::numeric_limits<double>::infinity()));
  seen.was_still.assign(moments, std::vector<char>(network.links.size(), 0));
  auto simulation = FlowSimulation::Make(network, {.hours = static_cast<double>(kHoursAWeek + kHoursADay)});
  if (!simulation.ok()) return simulation.error();
  FlowPeriod period;
  for (;;) {
    const Result<bool> more = simulation->Next(period);
    if (!more.ok()) return more.error();
    if (!*more) return seen;
    if (period.begin_s >= kHoursADay * kSecondsPerHour) Note(network, period, seen);
  }
}

void ApplySeen(const Network& network, const WeekSeen& seen, size_t moment, Supply& supply) {
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    const double level_m = seen.level_m[moment][i];
    if (!std::isfinite(level_m)) continue;
    const Node& node = network.nodes[i];
    supply.fixed_head_m[i] = node.elevation_m->value + level_m;
    if (level_m > node.tank->min_level_m + kLevelAtMark_m) continue;
    if (supply.tank_gate.empty()) supply.tank_gate.assign(network.nodes.size(), TankGate::kFree);
    supply.tank_gate[i] = TankGate::kOnlyFills;
  }
  if (!network.rules.empty()) supply.shut = seen.was_still[moment];
}

bool IsSame(const Supply& a, const Supply& b) {
  const auto same_head = [](double x, double y) { return x == y || (std::isnan(x) && std::isnan(y)); };
  return a.demand_m3_per_s == b.demand_m3_per_s && a.shut == b.shut && a.tank_gate == b.tank_gate &&
         std::equal(a.fixed_head_m.begin(), a.fixed_head_m.end(), b.fixed_head_m.begin(), same_head);
}

}  // namespace

Result<PressureMoments> MomentsOf(const Network& network) {
  PressureMoments moments;
  moments.network = network;
  moments.network.runs.clear();
  HoldOddPatterns(moments);
  const size_t count = MomentCount(moments.network);
  WeekSeen seen;
  if (HasLevels(network) || !network.rules.empty()) {
    Result<WeekSeen> simulated = SimulateWeek(moments.network, count);
    if (!simulated.ok()) return simulated.error();
    seen = *std::move(simulated);
  }
  for (size_t moment = 0; moment < count; ++moment) {
    Result<Supply> supply = SupplyAt(moments.network, static_cast<double>(moment));
    if (!supply.ok()) return supply.error();
    if (!seen.level_m.empty()) ApplySeen(moments.network, seen, moment, *supply);
    size_t state = 0;
    while (state < moments.states.size() && !IsSame(moments.states[state], *supply)) ++state;
    if (state == moments.states.size()) moments.states.push_back(*std::move(supply));
    moments.state_of_moment.push_back(static_cast<uint32_t>(state));
  }
  return moments;
}

}  // namespace lastreach
