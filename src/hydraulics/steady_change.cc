#include <algorithm>

#include "hydraulics/steady_problem.h"

namespace lastreach {

void SteadyProblem::FindWays() {
  parent_.assign(network_.nodes.size(), CoreLayout::kNone);
  row_to_.assign(network_.nodes.size(), CoreLayout::kNone);
  first_branch_.assign(network_.nodes.size() + 1, 0);
  for (const CoreLayout::TreePipe& pipe : layout_.trees) {
    parent_[pipe.node] = pipe.parent;
    ++first_branch_[pipe.parent + 1];
  }
  for (size_t i = 1; i < first_branch_.size(); ++i) first_branch_[i] += first_branch_[i - 1];
  branch_.resize(layout_.trees.size());
  std::vector<uint32_t> next(first_branch_.begin(), first_branch_.end() - 1);
  for (const CoreLayout::TreePipe& pipe : layout_.trees) branch_[next[pipe.parent]++] = pipe.node;
  for (uint32_t row = 0; row < layout_.rows.size(); ++row) {
    if (layout_.core_node[layout_.rows[row].to] == CoreLayout::kNone) row_to_[layout_.rows[row].to] = row;
  }
}

// In the order of TakeDemands, so that sums come to the same last digit.
void SteadyProblem::SumBeyond(uint32_t node) {
  double sum = shape_.is_feeder[node] != 0 ? 0 : demand_m3_per_s_[node];
  for (uint32_t k = first_branch_[node]; k < first_branch_[node + 1]; ++k) {
    sum += beyond_m3_per_s_[branch_[k]];
  }
  beyond_m3_per_s_[node] = sum;
}

// Down its tree; within a chain, from there on to where the chain ends.
void SteadyProblem::TakeDemand(uint32_t node, double demand, CoreChange& change) {
  const double more = demand - demand_m3_per_s_[node];
  demand_m3_per_s_[node] = demand;
  for (; parent_[node] != CoreLayout::kNone; node = parent_[node]) SumBeyond(node);
  SumBeyond(node);
  uint32_t ends_at = layout_.core_node[node];
  if (ends_at == CoreLayout::kNone) {
    const uint32_t row = row_to_[node];
    if (row == CoreLayout::kNone) return;
    const auto next = std::upper_bound(core_.row_begin.begin(), core_.row_begin.end(), row);
    const auto chain = static_cast<uint32_t>(next - core_.row_begin.begin() - 1);
    SumDrawn(chain);
    change.links.push_back(chain);
    ends_at = core_.links[chain].to;
  }
  if (ends_at >= core_.unknowns) return;
  core_.demand_m3_per_s[ends_at] += more;
  change.drawn.push_back({ends_at, more});
}

void SteadyProblem::ChangeOpenings(const Supply& supply, CoreChange& change) {
  struct Before {
    LinkLaw law;
    double flow_m3_per_s, outlet_m;
  };
  std::vector<Before> all;
  for (const CoreLayout::Slot& slot : layout_.openings) {
    all.push_back(
        {core_.LawOf(slot.core_link), core_.flow_m3_per_s[slot.core_link], core_.head_m[slot.beyond]});
  }
  TakeOpenings(supply);
  for (size_t i = 0; i < all.size(); ++i) {
    const CoreLayout::Slot& slot = layout_.openings[i];
    const LinkLaw& law = core_.LawOf(slot.core_link);
    const bool is_same =
        law.square_s2_per_m5 == all[i].law.square_s2_per_m5 && core_.head_m[slot.beyond] == all[i].outlet_m;
    if (law.is_out == all[i].law.is_out && (law.is_out || is_same)) continue;
    change.links.push_back(slot.core_link);
    const double more = core_.flow_m3_per_s[slot.core_link] - all[i].flow_m3_per_s;
    change.drawn.push_back({core_.links[slot.core_link].from, more});
  }
}

std::optional<CoreChange> SteadyProblem::TakeChange(const Supply& supply, std::span<const uint32_t> nodes) {
  if (!layout_.demands.empty()) return {};
  if (parent_.empty()) FindWays();
  CoreChange change;
  for (const uint32_t node : nodes) {
    if (request_.fed[node] == 0 || shape_.is_feeder[node] != 0) continue;
    TakeDemand(node, supply.demand_m3_per_s[node], change);
  }
  ChangeOpenings(supply, change);
  return change;
}

}  // namespace lastreach
