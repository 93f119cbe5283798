#include <algorithm>
#include <chrono>

#include "hydraulics/core_newton.h"
#include "hydraulics/steady_solver_impl.h"

namespace lastreach {

std::vector<NodeIndex> NodesOf(const std::vector<Opening>& openings) {
  std::vector<NodeIndex> nodes;
  for (const Opening& opening : openings) nodes.push_back(opening.node);
  std::sort(nodes.begin(), nodes.end());
  return nodes;
}

SteadySolver::Impl::Impl(const Network& network, const CoreOptions& options)
    : network_(network), options_(options) {
  const Stopwatch watch(made_s_);
  shape_.emplace(network);
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    if (network.nodes[i].leak) request_.openings.push_back(NodeIndex(i));
  }
  for (const NodeRun& run : network.runs) {
    if (!run.flow_m3_per_s && run.orifice_m) request_.openings.push_back(run.node);
  }
  std::sort(request_.openings.begin(), request_.openings.end());
  if (!network.rules.empty()) request_.may_shut.assign(network.links.size(), 0);
  for (const LinkRule& rule : network.rules) request_.may_shut[At(rule.link)] = 1;
}

// Runs of one device one after another need one place; more openings at once than that get it here.
bool SteadySolver::Impl::MakeRoomForOpenings(const Supply& supply) {
  const std::vector<NodeIndex> now = NodesOf(supply.openings);
  if (HasRoomForOpenings(now)) return false;
  std::vector<NodeIndex>& room = request_.openings;
  std::vector<NodeIndex> both;
  std::set_union(room.begin(), room.end(), now.begin(), now.end(), std::back_inserter(both));
  room = std::move(both);
  return true;
}

bool SteadySolver::Impl::HasRoomForOpenings(const std::vector<NodeIndex>& sorted) const {
  const std::vector<NodeIndex>& room = request_.openings;
  return std::includes(room.begin(), room.end(), sorted.begin(), sorted.end());
}

// True if something must stand in the core by itself that has not until now.
bool SteadySolver::Impl::MakeRoom(const Supply& supply) {
  bool more = MakeRoomForOpenings(supply);
  for (size_t i = 0; i < supply.shut.size(); ++i) {
    if (supply.shut[i] == 0) continue;
    request_.may_shut.resize(network_.links.size(), 0);
    more = more || request_.may_shut[i] == 0;
    request_.may_shut[i] = 1;
  }
  return more;
}

// True if other nodes are fed than before.
bool SteadySolver::Impl::FindFed(const Supply& supply) {
  std::vector<char> put_in(shape_->is_feeder.size(), 0);
  for (size_t i = 0; i < put_in.size(); ++i) put_in[i] = supply.demand_m3_per_s[i] < 0 ? 1 : 0;
  const bool same = !request_.fed.empty() && put_in == put_in_before_ && supply.shut == shut_before_ &&
                    supply.tank_gate == gate_before_;
  if (same) return false;
  put_in_before_ = std::move(put_in);
  shut_before_ = supply.shut;
  gate_before_ = supply.tank_gate;
  std::vector<char> fed = FedNodes(network_, shape_->adjacency, supply);
  const bool changed = fed != request_.fed;
  request_.fed = std::move(fed);
  return changed;
}

Status SteadySolver::Impl::LayOutFor(const Supply& supply) {
  const auto start = std::chrono::steady_clock::now();
  Result<std::unique_ptr<SteadyProblem>> made = SteadyProblem::Make(*shape_, request_, options_);
  if (!made.ok()) return made.error();
  problem_ = *std::move(made);
  problem_->Take(supply);
  problem_->Forget();
  if (!begins_flat_) problem_->BeginFrom(state_);
  const double whole_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  state_.summary.symbolic_s += problem_->symbolic_s();
  state_.summary.prepare_s += whole_s - problem_->symbolic_s();
  return Ok();
}

Status SteadySolver::Impl::CheckElevations(const Supply& supply) const {
  for (size_t i = 0; network_.options.short_pressure && i < network_.nodes.size(); ++i) {
    const Node& node = network_.nodes[i];
    if (request_.fed[i] == 0 || IsFeeder(node) || !(supply.demand_m3_per_s[i] > 0) || node.elevation_m)
      continue;
    return BadInput("node '" + node.id + "' has no elevation, and its demand falls with pressure",
                    {"nodes.csv", {}, "elevation_m", ""});
  }
  return Ok();
}

bool SteadySolver::Impl::FallsShort(const Supply& supply, size_t i, bool whatever_the_head) const {
  const Node& node = network_.nodes[i];
  if (request_.fed[i] == 0 || IsFeeder(node) || !(supply.demand_m3_per_s[i] > 0)) return false;
  if (!request_.falls_short.empty() && request_.falls_short[i] != 0) return false;
  const double pressure_m = state_.head_m[i] - node.elevation_m->value;
  return whatever_the_head || pressure_m < network_.options.short_pressure->full_above_m;
}

// Adds the demands that are not drawn whole at these heads, or all. True if there are more than before.
bool SteadySolver::Impl::FindShort(const Supply& supply, bool all) {
  bool more = false;
  for (size_t i = 0; network_.options.short_pressure && i < network_.nodes.size(); ++i) {
    if (!FallsShort(supply, i, all)) continue;
    request_.falls_short.resize(network_.nodes.size(), 0);
    request_.falls_short[i] = 1;
    more = true;
  }
  return more;
}

}  // namespace lastreach
