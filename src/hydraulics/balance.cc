#include "hydraulics/balance.h"

#include <algorithm>
#include <cmath>

#include "hydraulics/link_law.h"

namespace lastreach {
namespace {

// Below this nothing passes: twice what the search for valve states takes as still.
constexpr double kStill_m3_per_s = 2e-9;

struct OneLink {
  LinkKind kind;
  double flow;
  double drive_m;     // head at `from` less that at `to`
  double loss_m;      // of this flow, were there no bounds
  double over_m = 0;  // of pressure valves: how far the held node is on the side the valve acts against
  double limit_m3_per_s = 0;
};

double ImbalanceOfPressureValve(const OneLink& link) {
  const bool is_still = std::abs(link.flow) <= kStill_m3_per_s;
  const double open = std::max(std::abs(link.drive_m - link.loss_m), link.over_m);
  const double holding = std::max(std::abs(link.over_m), link.loss_m - link.drive_m);
  if (!is_still) return std::min(open, holding);
  const double shut = std::max(0.0, std::min(-link.over_m, link.drive_m));
  return std::min({open, holding, shut});
}

double ImbalanceOf(const OneLink& link) {
  const double off = std::abs(link.drive_m - link.loss_m);
  switch (link.kind) {
    case LinkKind::kCheck:
    case LinkKind::kPump:
      return std::abs(link.flow) <= kStill_m3_per_s ? std::max(0.0, link.drive_m - link.loss_m) : off;
    case LinkKind::kLimiting:
      return std::abs(link.flow - link.limit_m3_per_s) <= kStill_m3_per_s
                 ? std::max(0.0, link.loss_m - link.drive_m)
                 : off;
    case LinkKind::kReducing:
    case LinkKind::kSustaining:
      return ImbalanceOfPressureValve(link);
    case LinkKind::kPipe:
    case LinkKind::kClosed:
      break;
  }
  return off;
}

// Of links other than pipes; their laws were found before, so they are there.
double ImbalanceOfSpecial(const Network& network, const Link& link, const SteadyState& state, double flow) {
  LinkLaw law = *LawOf(link, network.options);
  law.lower_m3_per_s = -std::numeric_limits<double>::infinity();
  law.upper_m3_per_s = std::numeric_limits<double>::infinity();
  law.pipe.smooth_m3_per_s = 0;
  const double from_m = state.head_m[At(link.from)];
  const double to_m = state.head_m[At(link.to)];
  OneLink one{link.kind, flow, from_m - to_m, LossOf(law, flow).head_m};
  if (link.kind == LinkKind::kLimiting) one.limit_m3_per_s = *link.setting;
  if (link.kind == LinkKind::kReducing) {
    one.over_m = to_m - network[link.to].elevation_m->value - *link.setting;
  }
  if (link.kind == LinkKind::kSustaining) {
    one.over_m = network[link.from].elevation_m->value + *link.setting - from_m;
  }
  return ImbalanceOf(one);
}

// Nothing may pass where something is shut.
double ImbalanceOfShut(double flow) {
  return std::abs(flow) <= kStill_m3_per_s ? 0 : std::numeric_limits<double>::infinity();
}

double ImbalanceOfTank(TankGate gate, double takes_m3_per_s, double over_m) {
  const bool is_still = std::abs(takes_m3_per_s) <= kStill_m3_per_s;
  switch (gate) {
    case TankGate::kOnlyFills:
      if (takes_m3_per_s < -kStill_m3_per_s) return ImbalanceOfShut(takes_m3_per_s);
      return is_still ? std::max(0.0, over_m) : std::abs(over_m);
    case TankGate::kOnlyGives:
      if (takes_m3_per_s > kStill_m3_per_s) return ImbalanceOfShut(takes_m3_per_s);
      return is_still ? std::max(0.0, -over_m) : std::abs(over_m);
    case TankGate::kShut:
      return ImbalanceOfShut(takes_m3_per_s);
    case TankGate::kFree:
      break;
  }
  return std::abs(over_m);
}

// What the pressures draw at each junction that is fed.
std::vector<double> DrawnOf(const Network& network, const Supply& supply, const SteadyState& state) {
  std::vector<double> drawn = supply.demand_m3_per_s;
  const auto& pressure = network.options.short_pressure;
  for (size_t i = 0; pressure && i < drawn.size(); ++i) {
    if (IsFeeder(network.nodes[i]) || !std::isfinite(state.head_m[i]) || !(drawn[i] > 0)) continue;
    const double above_m = state.head_m[i] - network.nodes[i].elevation_m->value - pressure->none_below_m;
    drawn[i] *= std::sqrt(std::clamp(above_m / (pressure->full_above_m - pressure->none_below_m), 0.0, 1.0));
  }
  for (const Opening& opening : supply.openings) {
    const double pressure_m = state.head_m[At(opening.node)] - opening.outlet_m;
    drawn[At(opening.node)] += opening.conductance_m25_per_s * std::sqrt(std::max(0.0, pressure_m));
  }
  return drawn;
}

double MassImbalance(const Network& network, const Supply& supply, const SteadyState& state) {
  std::vector<double> inflow_m3_per_s(network.nodes.size(), 0);
  for (size_t i = 0; i < network.links.size(); ++i) {
    inflow_m3_per_s[At(network.links[i].from)] -= state.flow_m3_per_s[i];
    inflow_m3_per_s[At(network.links[i].to)] += state.flow_m3_per_s[i];
  }
  const std::vector<double> drawn = DrawnOf(network, supply, state);
  double worst = 0;
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    if (network.nodes[i].kind != NodeKind::kJunction || !std::isfinite(state.head_m[i])) continue;
    worst = std::max({worst, std::abs(inflow_m3_per_s[i] - drawn[i]),
                      std::abs(inflow_m3_per_s[i] - state.outflow_m3_per_s[i])});
  }
  return worst;
}

}  // namespace

Imbalance ImbalanceOf(const Network& network, const Supply& supply, const PipeRows& pipes,
                      const SteadyState& state) {
  Imbalance worst;
  worst.mass_m3_per_s = MassImbalance(network, supply, state);
  std::vector<double> loss_m(network.links.size());
  pipes.EvaluateAsPrinted(state.flow_m3_per_s, loss_m);
  for (size_t i = 0; i < network.links.size(); ++i) {
    const Link& link = network.links[i];
    const double drive_m = state.head_m[At(link.from)] - state.head_m[At(link.to)];
    if (IsShut(link) || !std::isfinite(drive_m)) continue;
    double off_m = std::abs(drive_m - loss_m[i]);
    if (IsShutBy(supply, LinkIndex(i))) {
      off_m = ImbalanceOfShut(state.flow_m3_per_s[i]);
    } else if (link.kind != LinkKind::kPipe) {
      off_m = ImbalanceOfSpecial(network, link, state, state.flow_m3_per_s[i]);
    }
    if (off_m <= worst.energy_m) continue;
    worst.energy_m = off_m;
    worst.worst_link = LinkIndex(i);
  }
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    if (!IsFeeder(network.nodes[i]) || !std::isfinite(state.head_m[i])) continue;
    const TankGate gate =
        network.nodes[i].kind == NodeKind::kTank ? GateOf(supply, NodeIndex(i)) : TankGate::kFree;
    const double rise_m = TankRise_s_per_m2(supply, NodeIndex(i)) * state.outflow_m3_per_s[i];
    const double over_m = state.head_m[i] - supply.fixed_head_m[i] - rise_m;
    worst.energy_m = std::max(worst.energy_m, ImbalanceOfTank(gate, state.outflow_m3_per_s[i], over_m));
  }
  return worst;
}

}  // namespace lastreach
