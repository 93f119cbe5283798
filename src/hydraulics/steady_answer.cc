#include <algorithm>
#include <cmath>
#include <limits>

#include "hydraulics/steady_problem.h"

namespace lastreach {
namespace {

// A flow that rests on a bound is that bound.
double FlowOf(const LinkLaw& law, double flow) {
  if (law.push_up_m > 0) return law.lower_m3_per_s;
  if (law.push_down_m > 0) return law.upper_m3_per_s;
  return flow;
}

}  // namespace

double SteadyProblem::SlotFlow(const CoreLayout::Slot& slot) const {
  const LinkLaw& law = core_.LawOf(slot.core_link);
  return law.is_out ? 0 : FlowOf(law, core_.flow_m3_per_s[slot.core_link]);
}

void SteadyProblem::GiveFlows(SteadyState& state) const {
  state.flow_m3_per_s.assign(network_.links.size(), 0);
  for (size_t chain = 0; chain < core_.Chains(); ++chain) {
    for (size_t row = core_.row_begin[chain]; row < core_.row_begin[chain + 1]; ++row) {
      const double flow = core_.flow_m3_per_s[chain] - core_.drawn_m3_per_s[row];
      state.flow_m3_per_s[layout_.rows[row].link] = layout_.rows[row].is_forward ? flow : -flow;
    }
  }
  for (size_t i = 0; i < layout_.special_of.size(); ++i) {
    if (layout_.special_of[i] == CoreLayout::kNone) continue;
    state.flow_m3_per_s[layout_.special_of[i]] =
        FlowOf(core_.laws[i], core_.flow_m3_per_s[core_.Chains() + i]);
  }
  for (const CoreLayout::TreePipe& pipe : layout_.trees) {
    const double drawn = beyond_m3_per_s_[pipe.node];
    state.flow_m3_per_s[pipe.link] = pipe.is_forward ? drawn : -drawn;
  }
}

// Of the core as solved, then along chains and from the core outwards by what the pipes lose.
void SteadyProblem::GiveHeads(const Supply& supply, SteadyState& state) {
  state.head_m.assign(network_.nodes.size(), std::numeric_limits<double>::quiet_NaN());
  for (size_t i = 0; i < state.head_m.size(); ++i) {
    if (layout_.core_node[i] != CoreLayout::kNone) state.head_m[i] = core_.head_m[layout_.core_node[i]];
  }
  for (const CoreLayout::Slot& slot : layout_.tanks) {
    const LinkLaw& law = core_.LawOf(slot.core_link);
    const bool is_free = !law.is_out && law.push_up_m == 0 && law.push_down_m == 0;
    if (!is_free) continue;
    const double rise_m = TankRise_s_per_m2(supply, NodeIndex(slot.node)) * SlotFlow(slot);
    state.head_m[slot.node] = supply.fixed_head_m[slot.node] + rise_m;
  }
  GiveHeadsWithinChains(state);
  for (size_t i = 0; i < layout_.trees.size(); ++i)
    tree_flow_m3_per_s_[i] = beyond_m3_per_s_[layout_.trees[i].node];
  tree_pipes_.Evaluate(tree_flow_m3_per_s_, tree_loss_m_, tree_slope_s_per_m2_);
  for (size_t i = layout_.trees.size(); i-- > 0;) {
    const CoreLayout::TreePipe& pipe = layout_.trees[i];
    state.head_m[pipe.node] = state.head_m[pipe.parent] - tree_loss_m_[i];
  }
}

// Chains of one pipe have nothing within.
void SteadyProblem::GiveHeadsWithinChains(SteadyState& state) {
  const size_t first = core_.single_chains;
  for (size_t chain = first; chain < core_.Chains(); ++chain) {
    for (size_t row = core_.row_begin[chain]; row < core_.row_begin[chain + 1]; ++row) {
      row_flow_m3_per_s_[row] = core_.flow_m3_per_s[chain] - core_.drawn_m3_per_s[row];
    }
  }
  core_.pipes.EvaluateFrom(core_.row_begin[first], row_flow_m3_per_s_, row_loss_m_, row_slope_s_per_m2_);
  for (size_t chain = first; chain < core_.Chains(); ++chain) {
    double head_m = core_.head_m[core_.links[chain].from];
    for (size_t row = core_.row_begin[chain]; row + 1 < core_.row_begin[chain + 1]; ++row) {
      head_m -= row_loss_m_[row];
      state.head_m[layout_.rows[row].to] = head_m;
    }
  }
}

void SteadyProblem::GiveOutflow(const Supply& supply, SteadyState& state) const {
  state.outflow_m3_per_s.assign(network_.nodes.size(), 0);
  for (size_t i = 0; i < network_.nodes.size(); ++i) {
    if (shape_.is_feeder[i] == 0 && request_.fed[i] != 0) {
      state.outflow_m3_per_s[i] = supply.demand_m3_per_s[i];
    }
  }
  for (const CoreLayout::Slot& slot : layout_.demands) {
    if (core_.LawOf(slot.core_link).is_out) continue;
    state.outflow_m3_per_s[slot.node] = SlotFlow(slot);
  }
  for (const CoreLayout::Slot& slot : layout_.openings) state.outflow_m3_per_s[slot.node] += SlotFlow(slot);
  for (const uint32_t link : shape_.feeder_links) {
    const NetworkShape::Ends& ends = shape_.ends[link];
    if (shape_.is_feeder[ends.from] != 0) state.outflow_m3_per_s[ends.from] -= state.flow_m3_per_s[link];
    if (shape_.is_feeder[ends.to] != 0) state.outflow_m3_per_s[ends.to] += state.flow_m3_per_s[link];
  }
}

Imbalance SteadyProblem::ImbalanceOfCore(const CoreOutcome& outcome) const {
  Imbalance worst;
  worst.energy_m = outcome.worst_residual_m;
  worst.mass_m3_per_s = outcome.worst_missing_m3_per_s;
  for (const CoreLayout::Slot& slot : layout_.openings) {
    const LinkLaw& law = core_.LawOf(slot.core_link);
    if (law.is_out) continue;
    const LossAndSlope loss = LossOf(law, core_.flow_m3_per_s[slot.core_link]);
    const double drive_m = core_.head_m[core_.links[slot.core_link].from] - core_.head_m[slot.beyond];
    worst.mass_m3_per_s =
        std::max(worst.mass_m3_per_s, std::abs(drive_m - loss.head_m) / loss.slope_s_per_m2);
  }
  return worst;
}

void SteadyProblem::Give(const Supply& supply, SteadyState& state) {
  GiveFlows(state);
  GiveHeads(supply, state);
  GiveOutflow(supply, state);
}

}  // namespace lastreach
