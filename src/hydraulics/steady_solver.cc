#include "hydraulics/steady_solver.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstring>

#include "hydraulics/balance.h"
#include "hydraulics/core_layout.h"
#include "hydraulics/core_newton.h"
#include "hydraulics/steady_problem.h"

namespace lastreach {
namespace {

std::vector<NodeIndex> NodesOf(const std::vector<Opening>& openings) {
  std::vector<NodeIndex> nodes;
  for (const Opening& opening : openings) nodes.push_back(opening.node);
  std::sort(nodes.begin(), nodes.end());
  return nodes;
}

// With NaN the same as NaN.
bool AreSame(const std::vector<double>& a, const std::vector<double>& b) {
  return a.size() == b.size() &&
         (a.empty() || std::memcmp(a.data(), b.data(), a.size() * sizeof(double)) == 0);
}

}  // namespace

class SteadySolver::Impl {
 public:
  Impl(const Network& network, const CoreOptions& options);

  Status Solve(const Supply& supply);
  void Forget();
  const SteadyState& state() const { return state_; }

 private:
  Status LayOutFor(const Supply& supply);
  bool MakeRoom(const Supply& supply);
  bool MakeRoomForOpenings(const Supply& supply);
  bool HasRoomForOpenings(const std::vector<NodeIndex>& sorted) const;
  bool FindFed(const Supply& supply);
  Status CheckElevations(const Supply& supply) const;
  // Whether a node's demand is taken whole, and that is not so at its head, or not to be counted on.
  bool FallsShort(const Supply& supply, size_t node, bool whatever_the_head) const;
  bool FindShort(const Supply& supply, bool all);
  // The nodes whose demands have changed since the last answer, where little else has.
  std::optional<std::vector<uint32_t>> FindChanged(const Supply& supply) const;
  bool Follow(const Supply& supply);
  Status SolveAnew(const Supply& supply);
  Status SolveLaidOut(const Supply& supply);
  void Summarise(const CoreOutcome& outcome);
  void Check(const Imbalance& imbalance);

  const Network& network_;
  CoreOptions options_;
  std::optional<NetworkShape> shape_;
  LayoutRequest request_;
  // What the fed nodes follow from, besides the network.
  std::vector<char> shut_before_, put_in_before_;
  std::vector<TankGate> gate_before_;
  std::unique_ptr<SteadyProblem> problem_;
  Supply supply_;  // of the last answer, where that is one to follow
  bool can_follow_ = false;
  SteadyState state_;
  double made_s_ = 0;  // of the constructor, for the summary of the first answer
  bool begins_flat_ = true;
};

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

// Demands that fall with pressure are first taken whole. Where all have the pressure for that, so it is;
// else those that lack it get a law of their own and all is solved again: to take less from the others'
// water only raises their pressure.
Status SteadySolver::Impl::SolveLaidOut(const Supply& supply) {
  for (;;) {
    const CoreOutcome outcome = problem_->Solve();
    problem_->Give(supply, state_);
    Summarise(outcome);
    if (!FindShort(supply, !outcome.converged)) return Ok();
    if (Status laid = LayOutFor(supply); !laid.ok()) return laid;
  }
}

std::optional<std::vector<uint32_t>> SteadySolver::Impl::FindChanged(const Supply& supply) const {
  constexpr size_t kMost = 64;
  const bool may = can_follow_ && supply.shut == supply_.shut && supply.tank_gate == supply_.tank_gate &&
                   supply.tank_rise_s_per_m2 == supply_.tank_rise_s_per_m2 &&
                   AreSame(supply.fixed_head_m, supply_.fixed_head_m);
  if (!may) return {};
  std::vector<uint32_t> changed;
  for (uint32_t i = 0; i < supply.demand_m3_per_s.size(); ++i) {
    const double before = supply_.demand_m3_per_s[i], now = supply.demand_m3_per_s[i];
    if (before == now) continue;
    changed.push_back(i);
    // Where water is put in something may be fed that was not.
    if (changed.size() > kMost || before < 0 || now < 0) return {};
  }
  return changed;
}

// From the last answer, where the change is small. Else the problem is left as it was or with the change in
// it, on the way to the answer.
bool SteadySolver::Impl::Follow(const Supply& supply) {
  const std::optional<std::vector<uint32_t>> changed = FindChanged(supply);
  if (!changed || !HasRoomForOpenings(NodesOf(supply.openings))) return false;
  can_follow_ = false;
  const std::optional<CoreChange> change = problem_->TakeChange(supply, *changed);
  if (!change) return false;
  const std::optional<CoreOutcome> outcome = problem_->Follow(*change);
  if (!outcome) return false;
  problem_->Give(supply, state_);
  Summarise(*outcome);
  for (size_t i = 0; network_.options.short_pressure && i < network_.nodes.size(); ++i) {
    if (FallsShort(supply, i, false)) return false;
  }
  Check(ImbalanceOf(*shape_, supply, state_));
  for (const uint32_t node : *changed) supply_.demand_m3_per_s[node] = supply.demand_m3_per_s[node];
  supply_.openings = supply.openings;
  // What following leaves over adds up; from there on anew.
  constexpr double kLeftOver_m3_per_s = 2e-9;
  can_follow_ = state_.summary.IsUsable() && state_.summary.mass_imbalance_m3_per_s < kLeftOver_m3_per_s;
  return can_follow_;
}

Status SteadySolver::Impl::SolveAnew(const Supply& supply) {
  can_follow_ = false;
  const bool more = MakeRoom(supply);
  const bool serves = !FindFed(supply) && problem_ && !more;
  if (Status checked = CheckElevations(supply); !checked.ok()) return checked;
  if (serves) {
    problem_->Take(supply);
    if (begins_flat_) problem_->Forget();
  } else {
    if (Status laid = LayOutFor(supply); !laid.ok()) return laid;
  }
  if (Status solved = SolveLaidOut(supply); !solved.ok()) return solved;
  Check(ImbalanceOf(*shape_, supply, state_));
  begins_flat_ = state_.summary.status != SolveStatus::kConverged;
  can_follow_ = !begins_flat_;
  if (can_follow_) supply_ = supply;
  return Ok();
}

Status SteadySolver::Impl::Solve(const Supply& supply) {
  const auto start = std::chrono::steady_clock::now();
  state_.summary = {};
  state_.summary.prepare_s = made_s_;
  made_s_ = 0;
  const bool may_follow = can_follow_;
  if (!Follow(supply)) {
    if (Status solved = SolveAnew(supply); !solved.ok()) return solved;
    // What was left on the way may be no good place to begin from.
    if (may_follow && state_.summary.status == SolveStatus::kDidNotConverge) {
      Forget();
      if (Status solved = SolveAnew(supply); !solved.ok()) return solved;
    }
  }
  state_.summary.total_s = state_.summary.prepare_s +
                           std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  return Ok();
}

void SteadySolver::Impl::Forget() {
  begins_flat_ = true;
  can_follow_ = false;
  if (request_.falls_short.empty()) return;
  request_.falls_short.clear();
  problem_.reset();
}

void SteadySolver::Impl::Summarise(const CoreOutcome& outcome) {
  SteadySummary& summary = state_.summary;
  summary.not_fed.clear();
  summary.unsettled.clear();
  for (size_t i = 0; i < request_.fed.size(); ++i) {
    if (request_.fed[i] == 0) summary.not_fed.push_back(NodeIndex(i));
  }
  for (const uint32_t link : outcome.unsettled) {
    const uint32_t of = problem_->LinkOf(link);
    if (of != CoreLayout::kNone) summary.unsettled.push_back(LinkIndex(of));
  }
  summary.status = outcome.converged ? SolveStatus::kConverged : SolveStatus::kDidNotConverge;
  if (summary.not_fed.size() == request_.fed.size()) summary.status = SolveStatus::kNothingFed;
  summary.iterations += outcome.iterations;
  summary.factorisations += outcome.factorisations;
  summary.unknown_heads = problem_->core().unknowns;
  summary.factor_s += outcome.factor_s;
  summary.backsolve_s += outcome.backsolve_s;
  summary.laws_s += outcome.laws_s;
}

// What does not balance is not claimed.
void SteadySolver::Impl::Check(const Imbalance& imbalance) {
  constexpr double kMass_m3_per_s = 1e-7;
  constexpr double kEnergy_m = 1e-4;
  SteadySummary& summary = state_.summary;
  summary.mass_imbalance_m3_per_s = imbalance.mass_m3_per_s;
  summary.energy_imbalance_m = imbalance.energy_m;
  const bool balances = imbalance.mass_m3_per_s <= kMass_m3_per_s && imbalance.energy_m <= kEnergy_m;
  if (summary.status != SolveStatus::kConverged || balances) return;
  summary.status = SolveStatus::kDidNotConverge;
  if (imbalance.worst_link) summary.unsettled.push_back(*imbalance.worst_link);
}

SteadySolver::SteadySolver(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}
SteadySolver::~SteadySolver() = default;
SteadySolver::SteadySolver(SteadySolver&&) noexcept = default;
SteadySolver& SteadySolver::operator=(SteadySolver&&) noexcept = default;

Result<SteadySolver> SteadySolver::Make(const Network& network, const CoreOptions& options) {
  return SteadySolver(std::make_unique<Impl>(network, options));
}

Result<const SteadyState*> SteadySolver::Solve(const Supply& supply) {
  if (Status solved = impl_->Solve(supply); !solved.ok()) return solved.error();
  return &impl_->state();
}

void SteadySolver::Forget() { impl_->Forget(); }

}  // namespace lastreach
