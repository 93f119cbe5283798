#include "hydraulics/steady_solver.h"

#include <chrono>

#include "hydraulics/steady_solver_impl.h"

namespace lastreach {

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
  summary.head_error_bound_m = outcome.head_error_bound_m;
}

void SteadySolver::Impl::Check(const Imbalance& imbalance) {
  constexpr double kMass_m3_per_s = 1e-7;
  constexpr double kEnergy_m = 1e-4;
  SteadySummary& summary = state_.summary;
  summary.mass_imbalance_m3_per_s = imbalance.mass_m3_per_s;
  summary.energy_imbalance_m = imbalance.energy_m;
  const double most_m = summary.head_error_bound_m >= 0 ? options_.followed_head_error_m : kEnergy_m;
  const bool balances = imbalance.mass_m3_per_s <= kMass_m3_per_s && imbalance.energy_m <= most_m;
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
