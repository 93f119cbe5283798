#include "hydraulics/flow_simulation_summary.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <limits>

#include "core/quantity.h"
#include "network/structure.h"

namespace lastreach {
namespace {

std::string Fixed(double value, int digits) {
  char text[40];
  std::snprintf(text, sizeof text, "%.*f", digits, value);
  return text;
}

std::string Counted(size_t count, const char* one, const char* many) {
  return std::to_string(count) + " " + (count == 1 ? one : many);
}

// The entry of `index`, made where it has none.
template <typename Entry, typename Index>
Entry& EntryOf(Index index, double hour, std::vector<Entry>& entries, std::vector<uint32_t>& places) {
  uint32_t& place = places[At(index)];
  if (place == 0) {
    entries.push_back({index, hour, 0});
    place = static_cast<uint32_t>(entries.size());
  }
  return entries[place - 1];
}

}  // namespace

FlowSimulationAccount::FlowSimulationAccount(const Network& network)
    : network_(&network), place_of_node_(network.nodes.size()), place_of_link_(network.links.size()) {
  for (const Node& node : network.nodes) {
    const bool has_level = node.kind == NodeKind::kTank && node.tank && node.elevation_m;
    side_.push_back(has_level ? Side::kHolds : IsFeeder(node) ? Side::kGives : Side::kDraws);
    const bool counts = !IsFeeder(node) && node.elevation_m;
    judged_above_m_.push_back(counts ? node.elevation_m->value : std::numeric_limits<double>::quiet_NaN());
  }
}

void FlowSimulationAccount::AddSolve(const SteadySummary& solved, double wall_s) {
  ++summary_.solves;
  summary_.iterations += solved.iterations;
  summary_.solve_s += wall_s;
}

void FlowSimulationAccount::AddStretch(const SteadyState& state, const Supply& supply, double begin_s,
                                       double end_s) {
  const double hour = begin_s / kSecondsPerHour;
  AddWater(state, end_s - begin_s);
  AddPressure(state, supply, hour);
  AddTrouble(state.summary, hour, (end_s - begin_s) / kSecondsPerHour);
  summary_.mass_imbalance_m3_per_s =
      std::max(summary_.mass_imbalance_m3_per_s, state.summary.mass_imbalance_m3_per_s);
  summary_.energy_imbalance_m = std::max(summary_.energy_imbalance_m, state.summary.energy_imbalance_m);
}

void FlowSimulationAccount::AddPeriod(double end_s) {
  ++summary_.periods;
  summary_.hours = end_s / kSecondsPerHour;
}

void FlowSimulationAccount::AddWater(const SteadyState& state, double seconds) {
  for (size_t i = 0; i < side_.size(); ++i) {
    const double water_m3 = state.outflow_m3_per_s[i] * seconds;
    switch (side_[i]) {
      case Side::kHolds:
        summary_.tank_change_m3 += water_m3;
        break;
      case Side::kGives:
        summary_.given_m3 -= water_m3;
        break;
      case Side::kDraws:
        summary_.drawn_m3 += water_m3;
        break;
    }
  }
}

void FlowSimulationAccount::AddPressure(const SteadyState& state, const Supply& supply, double hour) {
  std::optional<FlowSimulationSummary::LowPressure>& lowest = summary_.lowest_pressure;
  double lowest_m = lowest ? lowest->pressure_m : std::numeric_limits<double>::infinity();
  for (size_t i = 0; i < judged_above_m_.size(); ++i) {
    const double pressure_m = state.head_m[i] - judged_above_m_[i];
    if (!(pressure_m < lowest_m) || !(supply.demand_m3_per_s[i] > 0)) continue;  // NaN is not below
    lowest_m = pressure_m;
    lowest = {NodeIndex(i), hour, pressure_m};
  }
}

void FlowSimulationAccount::AddTrouble(const SteadySummary& solved, double hour, double hours) {
  for (const NodeIndex node : solved.not_fed) {
    // An empty tank is not fed either, but nobody draws there.
    if (IsFeeder((*network_)[node])) continue;
    EntryOf(node, hour, summary_.not_fed, place_of_node_).hours += hours;
  }
  if (solved.status != SolveStatus::kDidNotConverge) return;
  summary_.unsettled_hours += hours;
  for (const LinkIndex link : solved.unsettled) {
    EntryOf(link, hour, summary_.unsettled, place_of_link_).hours += hours;
  }
}

std::string FlowSimulationSummary::BriefReport(const Network& network) const {
  std::string text = Fixed(hours, 1) + " h in " + Counted(periods, "period", "periods") + ", " +
                     Counted(solves, "state solved", "states solved");
  if (lowest_pressure) {
    text += "; lowest pressure " + Fixed(lowest_pressure->pressure_m, 1) + " m at " +
            network[lowest_pressure->node].id + ", hour " + Fixed(lowest_pressure->hour, 2);
  }
  if (!not_fed.empty()) {
    text += "; not fed at times: " + Counted(not_fed.size(), "node", "nodes") + ", the first " +
            network[not_fed.front().node].id + " from hour " + Fixed(not_fed.front().first_hour, 2);
  }
  if (unsettled_hours > 0) text += "; did not converge for " + Fixed(unsettled_hours, 2) + " h";
  for (size_t i = 0; i < unsettled.size(); ++i) {
    text += (i == 0 ? ", these do not settle: " : ", ") + network[unsettled[i].link].id + " from hour " +
            Fixed(unsettled[i].first_hour, 2);
  }
  return text;
}

}  // namespace lastreach
