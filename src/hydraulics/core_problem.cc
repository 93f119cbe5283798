#include "hydraulics/core_problem.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace lastreach {
namespace {

// Most pipes of a town are slower than this most of the day; the first heads are scaled by it.
constexpr double kGuess_m_per_s = 0.05;
constexpr double kGuess_m3_per_s = 0.01;

HangingForest TreesOfPipes(const Network& network, const Supply& supply) {
  std::vector<char> keep(network.nodes.size(), 0);
  for (size_t i = 0; i < keep.size(); ++i) keep[i] = IsFeeder(network.nodes[i]);
  for (const Opening& opening : supply.openings) keep[At(opening.node)] = 1;
  for (const Link& link : network.links) {
    if (IsShut(link) || link.kind == LinkKind::kPipe) continue;
    keep[At(link.from)] = 1;
    keep[At(link.to)] = 1;
  }
  return ForestOf(Adjacency(network), keep);
}

void SumTrees(const Network& network, CoreProblem& problem) {
  for (const NodeIndex node : problem.forest.ends_first) {
    const NodeIndex parent = OtherEnd(network[*problem.forest.parent[At(node)]], node);
    problem.tree_demand_m3_per_s[At(parent)] += problem.tree_demand_m3_per_s[At(node)];
  }
}

void NumberNodes(const Network& network, const Supply& supply, CoreProblem& problem) {
  Core& core = problem.core;
  const auto number = [&](bool feeders) {
    for (size_t i = 0; i < network.nodes.size(); ++i) {
      const bool in_core = problem.fed[i] && !problem.forest.parent[i];
      if (!in_core || IsFeeder(network.nodes[i]) != feeders) continue;
      problem.core_node[i] = static_cast<uint32_t>(core.head_m.size());
      core.head_m.push_back(feeders ? supply.fixed_head_m[i] : 0);
      if (!feeders) core.demand_m3_per_s.push_back(problem.tree_demand_m3_per_s[i]);
    }
  };
  number(false);
  core.unknowns = static_cast<uint32_t>(core.head_m.size());
  number(true);
}

double GuessOf(const Link& link) {
  double guess = kGuess_m3_per_s;
  if (link.pump) {
    guess = link.pump->design_flow_m3_per_s;
  } else if (link.inner_diameter_m) {
    const double diameter_m = link.inner_diameter_m->value;
    guess = kGuess_m_per_s * std::numbers::pi / 4 * diameter_m * diameter_m;
  }
  return link.kind == LinkKind::kLimiting && link.setting ? std::min(guess, *link.setting) : guess;
}

Status AddValve(const Network& network, const Link& link, Core& core) {
  if (link.kind != LinkKind::kReducing && link.kind != LinkKind::kSustaining) return Ok();
  const bool reduces = link.kind == LinkKind::kReducing;
  const Node& held = network[reduces ? link.to : link.from];
  if (!held.elevation_m) {
    return BadInput(
        "node '" + held.id + "' has no elevation, and valve '" + link.id + "' holds the pressure there",
        {"nodes.csv", {}, "elevation_m", ""});
  }
  const CoreLink& valve = core.links.back();
  core.valves.push_back({static_cast<uint32_t>(core.links.size() - 1), link.kind,
                         reduces ? valve.to : valve.from, held.elevation_m->value + *link.setting,
                         ValveState::kOpen});
  return Ok();
}

Status FindLaws(const Network& network, CoreProblem& problem) {
  problem.laws.resize(network.links.size());
  for (size_t i = 0; i < network.links.size(); ++i) {
    const Link& link = network.links[i];
    if (IsShut(link) || !problem.fed[At(link.from)] || !problem.fed[At(link.to)]) continue;
    Result<LinkLaw> law = LawOf(link, network.options);
    if (!law.ok()) return law.error();
    problem.laws[i] = *law;
  }
  return Ok();
}

Status AddLinks(const Network& network, CoreProblem& problem) {
  Core& core = problem.core;
  for (size_t i = 0; i < network.links.size(); ++i) {
    const Link& link = network.links[i];
    const auto from = problem.core_node[At(link.from)];
    const auto to = problem.core_node[At(link.to)];
    if (IsShut(link) || !from || !to || from == to) continue;
    core.links.push_back({*from, *to, problem.laws[i], LinkIndex(i)});
    core.flow_m3_per_s.push_back(GuessOf(link));
    if (Status added = AddValve(network, link, core); !added.ok()) return added;
  }
  return Ok();
}

void AddOpenings(const Supply& supply, CoreProblem& problem) {
  constexpr double kGuess_m = 20;
  Core& core = problem.core;
  for (const Opening& opening : supply.openings) {
    const auto node = problem.core_node[At(opening.node)];
    if (!node) continue;
    const auto air = static_cast<uint32_t>(core.head_m.size());
    core.head_m.push_back(opening.outlet_m);
    core.links.push_back({*node, air, LawOfOpening(opening.conductance_m25_per_s), {}});
    core.flow_m3_per_s.push_back(opening.conductance_m25_per_s * std::sqrt(kGuess_m));
  }
}

}  // namespace

Result<CoreProblem> MakeCore(const Network& network, const Supply& supply) {
  CoreProblem problem;
  problem.core_node.resize(network.nodes.size());
  problem.fed = FedNodes(network, supply);
  problem.forest = TreesOfPipes(network, supply);
  problem.tree_demand_m3_per_s = supply.demand_m3_per_s;
  SumTrees(network, problem);
  NumberNodes(network, supply, problem);
  if (Status found = FindLaws(network, problem); !found.ok()) return found.error();
  if (Status added = AddLinks(network, problem); !added.ok()) return added.error();
  AddOpenings(supply, problem);
  return problem;
}

}  // namespace lastreach
