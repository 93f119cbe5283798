#include <cstring>

#include "hydraulics/steady_solver_impl.h"

namespace lastreach {
namespace {

// With NaN the same as NaN.
bool AreSame(const std::vector<double>& a, const std::vector<double>& b) {
  return a.size() == b.size() &&
         (a.empty() || std::memcmp(a.data(), b.data(), a.size() * sizeof(double)) == 0);
}

}  // namespace

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
  const bool is_near = outcome->head_error_bound_m >= 0;
  Check(is_near ? problem_->ImbalanceOfCore(*outcome) : ImbalanceOf(*shape_, supply, state_));
  for (const uint32_t node : *changed) supply_.demand_m3_per_s[node] = supply.demand_m3_per_s[node];
  supply_.openings = supply.openings;
  // What following leaves over adds up; from there on anew.
  constexpr double kLeftOver_m3_per_s = 2e-9;
  can_follow_ = state_.summary.IsUsable() && state_.summary.mass_imbalance_m3_per_s < kLeftOver_m3_per_s;
  return can_follow_;
}

}  // namespace lastreach
