#include "hydraulics/solve.h"

#include <chrono>
#include <cmath>
#include <limits>

#include "hydraulics/balance.h"
#include "hydraulics/core_problem.h"
#include "hydraulics/supply.h"

namespace lastreach {
namespace {

constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();

double SecondsSince(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

void TakeCore(const CoreProblem& problem, SteadyState& state) {
  const Core& core = problem.core;
  for (size_t i = 0; i < core.links.size(); ++i) {
    const CoreLink& link = core.links[i];
    if (!link.of) continue;
    // A flow that rests on a bound is that bound.
    const double flow = core.flow_m3_per_s[i];
    double& taken = state.flow_m3_per_s[At(*link.of)];
    taken = flow;
    if (link.law.push_up_m > 0) taken = link.law.lower_m3_per_s;
    if (link.law.push_down_m > 0) taken = link.law.upper_m3_per_s;
  }
  for (size_t i = 0; i < state.head_m.size(); ++i) {
    if (const auto node = problem.core_node[i]) state.head_m[i] = core.head_m[*node];
  }
}

// From the core outwards: the flow is what the tree draws, the head follows.
void WalkTrees(const Network& network, const CoreProblem& problem, SteadyState& state) {
  const std::vector<NodeIndex>& order = problem.forest.ends_first;
  for (auto node = order.rbegin(); node != order.rend(); ++node) {
    if (!problem.fed[At(*node)]) continue;
    const LinkIndex index = *problem.forest.parent[At(*node)];
    const Link& link = network[index];
    const double drawn = problem.tree_demand_m3_per_s[At(*node)];
    state.flow_m3_per_s[At(index)] = link.to == *node ? drawn : -drawn;
    state.head_m[At(*node)] =
        state.head_m[At(OtherEnd(link, *node))] - LossOf(problem.laws[At(index)], drawn).head_m;
  }
}

void FillOutflow(const Network& network, const Supply& supply, SteadyState& state) {
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    const bool holds_head = IsFeeder(network.nodes[i]);
    state.outflow_m3_per_s[i] = holds_head || !std::isfinite(state.head_m[i]) ? 0 : supply.demand_m3_per_s[i];
  }
  for (const Opening& opening : supply.openings) {
    const size_t node = At(opening.node);
    if (network.nodes[node].kind != NodeKind::kJunction || !std::isfinite(state.head_m[node])) continue;
    const double pressure_m = std::max(0.0, state.head_m[node] - opening.outlet_m);
    state.outflow_m3_per_s[node] += opening.conductance_m25_per_s * std::sqrt(pressure_m);
  }
  for (size_t i = 0; i < network.links.size(); ++i) {
    const Link& link = network.links[i];
    if (IsFeeder(network[link.from])) state.outflow_m3_per_s[At(link.from)] -= state.flow_m3_per_s[i];
    if (IsFeeder(network[link.to])) state.outflow_m3_per_s[At(link.to)] += state.flow_m3_per_s[i];
  }
}

void Summarise(const CoreProblem& problem, const CoreOutcome& outcome, SteadySummary& summary) {
  for (size_t i = 0; i < problem.fed.size(); ++i) {
    if (!problem.fed[i]) summary.not_fed.push_back(NodeIndex(i));
  }
  for (const uint32_t link : outcome.unsettled) {
    if (problem.core.links[link].of) summary.unsettled.push_back(*problem.core.links[link].of);
  }
  summary.status = outcome.converged ? SolveStatus::kConverged : SolveStatus::kDidNotConverge;
  if (summary.not_fed.size() == problem.fed.size()) summary.status = SolveStatus::kNothingFed;
  summary.iterations = outcome.iterations;
  summary.unknown_heads = problem.core.unknowns;
  summary.symbolic_s = outcome.symbolic_s;
  summary.factor_s = outcome.factor_s;
  summary.backsolve_s = outcome.backsolve_s;
  summary.laws_s = outcome.laws_s;
}

// What does not balance is not claimed.
void Check(const Imbalance& imbalance, SteadySummary& summary) {
  constexpr double kMass_m3_per_s = 1e-7;
  constexpr double kEnergy_m = 1e-4;
  summary.mass_imbalance_m3_per_s = imbalance.mass_m3_per_s;
  summary.energy_imbalance_m = imbalance.energy_m;
  const bool balances = imbalance.mass_m3_per_s <= kMass_m3_per_s && imbalance.energy_m <= kEnergy_m;
  if (summary.status != SolveStatus::kConverged || balances) return;
  summary.status = SolveStatus::kDidNotConverge;
  if (imbalance.worst_link) summary.unsettled.push_back(*imbalance.worst_link);
}

}  // namespace

std::string_view ToText(SolveStatus status) {
  switch (status) {
    case SolveStatus::kConverged:
      return "converged";
    case SolveStatus::kDidNotConverge:
      return "did not converge";
    case SolveStatus::kNothingFed:
      break;
  }
  return "nothing is fed";
}

std::string SteadySummary::BriefReport(const Network& network) const {
  std::string text = std::string(ToText(status)) + " in " + std::to_string(iterations) + " steps";
  if (status == SolveStatus::kNothingFed) text = "no node can be reached from a source or a tank";
  for (size_t i = 0; i < unsettled.size(); ++i) {
    text += (i == 0 ? "; these do not settle: " : ", ") + network[unsettled[i]].id;
  }
  if (!not_fed.empty() && status != SolveStatus::kNothingFed) {
    text += "; not fed: " + std::to_string(not_fed.size()) +
            (not_fed.size() == 1 ? " node, " : " nodes, the first ") + network[not_fed.front()].id;
  }
  return text;
}

Result<SteadyState> SolveSteady(const Network& network, const SteadyOptions& options) {
  const Result<Supply> supply = SupplyAt(network, options.hour);
  if (!supply.ok()) return supply.error();
  return SolveSteady(network, *supply, options.core);
}

Result<SteadyState> SolveSteady(const Network& network, const Supply& supply, const CoreOptions& options) {
  const auto start = std::chrono::steady_clock::now();
  Result<CoreProblem> problem = MakeCore(network, supply);
  if (!problem.ok()) return problem.error();
  SteadyState state;
  state.head_m.assign(network.nodes.size(), kUnknown);
  state.outflow_m3_per_s.assign(network.nodes.size(), 0);
  state.flow_m3_per_s.assign(network.links.size(), 0);
  state.summary.prepare_s = SecondsSince(start);
  const CoreOutcome outcome = SolveCore(problem->core, options);
  Summarise(*problem, outcome, state.summary);
  TakeCore(*problem, state);
  WalkTrees(network, *problem, state);
  FillOutflow(network, supply, state);
  Check(ImbalanceOf(network, supply, problem->laws, state), state.summary);
  state.summary.total_s = SecondsSince(start);
  return state;
}

}  // namespace lastreach
