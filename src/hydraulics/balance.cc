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

double ImbalanceOf(const Network& network, const Link& link, LinkLaw law, const SteadyState& state,
                   double flow) {
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

}  // namespace

Imbalance ImbalanceOf(const Network& network, const Supply& supply, std::span<const LinkLaw> laws,
                      const SteadyState& state) {
  Imbalance worst;
  std::vector<double> missing_m3_per_s(network.nodes.size());
  for (size_t i = 0; i < missing_m3_per_s.size(); ++i) missing_m3_per_s[i] = -supply.demand_m3_per_s[i];
  for (const Opening& opening : supply.openings) {
    const double pressure_m = state.head_m[At(opening.node)] - opening.outlet_m;
    missing_m3_per_s[At(opening.node)] -=
        opening.conductance_m25_per_s * std::sqrt(std::max(0.0, pressure_m));
  }
  for (size_t i = 0; i < network.links.size(); ++i) {
    const Link& link = network.links[i];
    const double flow = state.flow_m3_per_s[i];
    missing_m3_per_s[At(link.from)] -= flow;
    missing_m3_per_s[At(link.to)] += flow;
    const bool counts = !IsShut(link) && std::isfinite(state.head_m[At(link.from)]) &&
                        std::isfinite(state.head_m[At(link.to)]);
    if (!counts) continue;
    const double off_m = ImbalanceOf(network, link, laws[i], state, flow);
    if (off_m <= worst.energy_m) continue;
    worst.energy_m = off_m;
    worst.worst_link = LinkIndex(i);
  }
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    const bool counts = network.nodes[i].kind == NodeKind::kJunction && std::isfinite(state.head_m[i]);
    if (counts) worst.mass_m3_per_s = std::max(worst.mass_m3_per_s, std::abs(missing_m3_per_s[i]));
  }
  return worst;
}

}  // namespace lastreach
