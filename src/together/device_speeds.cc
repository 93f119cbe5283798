#include "together/device_speeds.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <numbers>
#include <numeric>

#include "hydraulics/steady_solver.h"
#include "network/structure.h"

namespace lastreach {
namespace {

constexpr double kFelt_m_per_s = 0.005;

double Area_m2(const Link& link) {
  if (!link.inner_diameter_m) return 0;
  return std::numbers::pi / 4 * link.inner_diameter_m->value * link.inner_diameter_m->value;
}

double Speed_m_per_s(const Link& link, double flow_m3_per_s) {
  const double area_m2 = Area_m2(link);
  return area_m2 > 0 ? std::abs(flow_m3_per_s) / area_m2 : 0;
}

std::vector<std::vector<double>> FlowsWithoutDevices(const PressureMoments& moments, SteadySolver& solver,
                                                     Status* status) {
  std::vector<std::vector<double>> flows;
  for (const Supply& supply : moments.states) {
    const Result<const SteadyState*> state = solver.Solve(supply);
    if (!state.ok()) *status = state.error();
    if (!state.ok()) return flows;
    flows.push_back((*state)->flow_m3_per_s);
  }
  return flows;
}

// Among the hours these times touch, or all where there are none.
size_t BusiestState(const PressureMoments& moments, const std::vector<double>& demand,
                    const OpenTimes& open) {
  std::optional<size_t> busiest;
  const auto take = [&](size_t state) {
    if (!busiest || demand[state] > demand[*busiest]) busiest = state;
  };
  for (const OpenStretch& stretch : open) {
    for (int minute = stretch.from_min; minute < stretch.to_min; ++minute) {
      take(moments.state_of_moment[moments.MomentOf(minute)]);
    }
  }
  for (size_t state = 0; open.empty() && state < demand.size(); ++state) take(state);
  return *busiest;
}

// Links from the device to the root, or to the first fork or loop.
std::vector<LinkIndex> BranchOf(const Adjacency& adjacency, const HangingForest& forest,
                                const Network& network, NodeIndex device,
                                const std::optional<NodeIndex>& root) {
  std::vector<LinkIndex> branch;
  NodeIndex node = device;
  while (forest.parent[At(node)] && (!root || node != *root)) {
    if (!root && node != device && adjacency.Degree(node) > 2) break;
    branch.push_back(*forest.parent[At(node)]);
    node = OtherEnd(network[branch.back()], node);
  }
  return branch;
}

}  // namespace

Result<std::vector<DeviceSpeeds>> SpeedsOf(const PressureMoments& moments,
                                           const std::vector<DrawingPoint>& points,
                                           const std::vector<std::optional<NodeIndex>>& roots,
                                           const std::vector<OpenTimes>& open) {
  const Network& network = moments.network;
  Result<SteadySolver> solver = SteadySolver::Make(network);
  if (!solver.ok()) return solver.error();
  Status status = Ok();
  const std::vector<std::vector<double>> without = FlowsWithoutDevices(moments, *solver, &status);
  if (!status.ok()) return status.error();
  std::vector<double> demand;
  for (const Supply& supply : moments.states) {
    demand.push_back(std::accumulate(supply.demand_m3_per_s.begin(), supply.demand_m3_per_s.end(), 0.0));
  }
  std::vector<char> keep(network.nodes.size(), 0);
  for (size_t i = 0; i < keep.size(); ++i) keep[i] = IsFeeder(network.nodes[i]) ? 1 : 0;
  const Adjacency adjacency(network);
  const HangingForest forest = ForestOf(adjacency, keep);
  std::vector<DeviceSpeeds> all;
  for (size_t d = 0; d < points.size(); ++d) {
    const size_t state = BusiestState(moments, demand, open[d]);
    Supply supply = moments.states[state];
    supply.demand_m3_per_s[At(points[d].node)] += points[d].flow_m3_per_s;
    const Result<const SteadyState*> with = solver->Solve(supply);
    if (!with.ok()) return with.error();
    const std::vector<LinkIndex> branch = BranchOf(adjacency, forest, network, points[d].node, roots[d]);
    DeviceSpeeds& speeds = all.emplace_back();
    const auto in_main = [&](LinkIndex link) {
      SpeedInMain main;
      main.link = link;
      main.with_m_per_s = Speed_m_per_s(network[link], (*with)->flow_m3_per_s[At(link)]);
      main.change_m_per_s =
          Speed_m_per_s(network[link], (*with)->flow_m3_per_s[At(link)] - without[state][At(link)]);
      for (const std::vector<double>& flows : without) {
        main.daily_most_m_per_s =
            std::max(main.daily_most_m_per_s, Speed_m_per_s(network[link], flows[At(link)]));
      }
      return main;
    };
    for (const LinkIndex link : branch) {
      speeds.branch.push_back(in_main(link));
      if (!network[link].inner_diameter_m) continue;
      const double reynolds = speeds.branch.back().with_m_per_s * network[link].inner_diameter_m->value /
                              network.options.viscosity_m2_per_s;
      speeds.branch_reynolds =
          speeds.branch_reynolds == 0 ? reynolds : std::min(speeds.branch_reynolds, reynolds);
    }
    for (uint32_t i = 0; i < network.links.size(); ++i) {
      const LinkIndex link{i};
      const double change = (*with)->flow_m3_per_s[i] - without[state][i];
      if (Speed_m_per_s(network[link], change) < kFelt_m_per_s) continue;
      if (std::find(branch.begin(), branch.end(), link) == branch.end())
        speeds.mains.push_back(in_main(link));
    }
  }
  return all;
}

std::vector<std::string> VelocityCautions(const Network& network, const DeviceSpeeds& speeds,
                                          const VelocityOptions& options) {
  std::vector<std::string> cautions;
  const SpeedInMain* worst = nullptr;
  double worst_times = 1;
  for (const SpeedInMain& main : speeds.mains) {
    const double harmless_m_per_s =
        std::max(options.harmless_m_per_s, options.times_daily_most * main.daily_most_m_per_s);
    if (main.with_m_per_s <= worst_times * harmless_m_per_s) continue;
    worst_times = main.with_m_per_s / harmless_m_per_s;
    worst = &main;
  }
  if (worst != nullptr) {
    const Link& link = network[worst->link];
    char text[200];
    std::snprintf(
        text, sizeof text,
        ": water moves at %.2f m/s while it is open, at most %.2f m/s on any day without; what lies "
        "there may be stirred up",
        worst->with_m_per_s, worst->daily_most_m_per_s);
    cautions.push_back("Main " + link.id + (link.street.empty() ? "" : " in " + link.street) + text);
  }
  if (!speeds.branch.empty() && speeds.branch_reynolds < options.turbulent_reynolds) {
    char text[160];
    std::snprintf(
        text, sizeof text,
        "Re %.0f in its own branch, less than %.0f: the flow is not surely turbulent and may leave old "
        "water behind",
        speeds.branch_reynolds, options.turbulent_reynolds);
    cautions.push_back(text);
  }
  return cautions;
}

}  // namespace lastreach
