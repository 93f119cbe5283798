#include "hydraulics/steady_solver.h"

#include <algorithm>
#include <chrono>
#include <cmath>

#include "hydraulics/balance.h"
#include "hydraulics/core_layout.h"
#include "hydraulics/core_newton.h"
#include "hydraulics/steady_problem.h"

namespace lastreach {

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
  Status CheckElevations(const Supply& supply) const;
  bool FindShort(const Supply& supply, bool all);
  Status SolveLaidOut(const Supply& supply);
  void Summarise(const CoreOutcome& outcome);
  void Check(const Imbalance& imbalance);

  const Network& network_;
  CoreOptions options_;
  Adjacency adjacency_;
  PipeLaws laws_;
  LayoutRequest request_;
  std::unique_ptr<SteadyProblem> problem_;
  SteadyState state_;
  double made_s_ = 0;  // of the constructor, for the summary of the first answer
  bool begins_flat_ = true;
};

SteadySolver::Impl::Impl(const Network& network, const CoreOptions& options)
    : network_(network), options_(options), adjacency_(network) {
  const Stopwatch watch(made_s_);
  laws_ = PipeLawsOf(network);
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
  std::vector<NodeIndex> now;
  for (const Opening& opening : supply.openings) now.push_back(opening.node);
  std::sort(now.begin(), now.end());
  std::vector<NodeIndex>& room = request_.openings;
  if (std::includes(room.begin(), room.end(), now.begin(), now.end())) return false;
  std::vector<NodeIndex> both;
  std::set_union(room.begin(), room.end(), now.begin(), now.end(), std::back_inserter(both));
  room = std::move(both);
  return true;
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

Status SteadySolver::Impl::LayOutFor(const Supply& supply) {
  const auto start = std::chrono::steady_clock::now();
  Result<std::unique_ptr<SteadyProblem>> made =
      SteadyProblem::Make(network_, adjacency_, laws_, request_, options_);
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

// Adds the demands that are not drawn whole at these heads, or all. True if there are more than before.
bool SteadySolver::Impl::FindShort(const Supply& supply, bool all) {
  const std::optional<ShortPressure>& pressure = network_.options.short_pressure;
  bool more = false;
  for (size_t i = 0; pressure && i < network_.nodes.size(); ++i) {
    const Node& node = network_.nodes[i];
    if (request_.fed[i] == 0 || IsFeeder(node) || !(supply.demand_m3_per_s[i] > 0)) continue;
    if (!all && !(state_.head_m[i] - node.elevation_m->value < pressure->full_above_m)) continue;
    request_.falls_short.resize(network_.nodes.size(), 0);
    more = more || request_.falls_short[i] == 0;
    request_.falls_short[i] = 1;
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

Status SteadySolver::Impl::Solve(const Supply& supply) {
  const auto start = std::chrono::steady_clock::now();
  state_.summary = {};
  state_.summary.prepare_s = made_s_;
  made_s_ = 0;
  const bool more = MakeRoom(supply);
  std::vector<char> fed = FedNodes(network_, adjacency_, supply);
  const bool serves = problem_ && !more && fed == request_.fed;
  request_.fed = std::move(fed);
  if (Status checked = CheckElevations(supply); !checked.ok()) return checked;
  if (serves) {
    problem_->Take(supply);
    if (begins_flat_) problem_->Forget();
  } else {
    if (Status laid = LayOutFor(supply); !laid.ok()) return laid;
  }
  if (Status solved = SolveLaidOut(supply); !solved.ok()) return solved;
  Check(ImbalanceOf(network_, supply, laws_.rows, state_));
  begins_flat_ = state_.summary.status != SolveStatus::kConverged;
  state_.summary.total_s = state_.summary.prepare_s +
                           std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  return Ok();
}

void SteadySolver::Impl::Forget() {
  begins_flat_ = true;
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
