#include "hydraulics/steady_problem.h"

#include <algorithm>
#include <cmath>

#include "hydraulics/valve_states.h"

namespace lastreach {

SteadyProblem::SteadyProblem(const NetworkShape& shape, LayoutRequest request, LaidOut made)
    : shape_(shape),
      network_(shape.network),
      request_(std::move(request)),
      layout_(std::move(made.layout)),
      core_(std::move(made.core)),
      beyond_m3_per_s_(network_.nodes.size()) {
  tree_pipes_.Reserve(layout_.trees.size());
  for (const CoreLayout::TreePipe& pipe : layout_.trees) tree_pipes_.Add(shape_.pipes, pipe.link);
  for (auto* column : {&tree_flow_m3_per_s_, &tree_loss_m_, &tree_slope_s_per_m2_}) {
    column->resize(layout_.trees.size());
  }
  for (auto* column : {&row_flow_m3_per_s_, &row_loss_m_, &row_slope_s_per_m2_}) {
    column->resize(layout_.rows.size());
  }
}

Result<std::unique_ptr<SteadyProblem>> SteadyProblem::Make(const NetworkShape& shape, LayoutRequest request,
                                                           const CoreOptions& options) {
  Result<LaidOut> made = LayOut(shape, request);
  if (!made.ok()) return made.error();
  std::unique_ptr<SteadyProblem> problem(new SteadyProblem(shape, std::move(request), *std::move(made)));
  problem->solver_.emplace(problem->core_, options);
  return problem;
}

void SteadyProblem::PutOut(uint32_t core_link, bool out) {
  LinkLaw& law = core_.LawOf(core_link);
  if (law.is_out == out) return;
  law.is_out = out;
  law.push_up_m = law.push_down_m = 0;
  core_.flow_m3_per_s[core_link] = out ? 0 : core_.guess_m3_per_s[core_link];
}

void SteadyProblem::TakeLinks(const Supply& supply) {
  for (size_t i = 0; i < layout_.special_of.size(); ++i) {
    const uint32_t link = layout_.special_of[i];
    if (link != CoreLayout::kNone) {
      PutOut(static_cast<uint32_t>(core_.Chains() + i), IsShutBy(supply, LinkIndex(link)));
    }
  }
}

// What is drawn within a chain before each of its pipes; gives all of it.
double SteadyProblem::SumDrawn(size_t chain) {
  double drawn = 0;
  for (size_t row = core_.row_begin[chain]; row < core_.row_begin[chain + 1]; ++row) {
    core_.drawn_m3_per_s[row] = drawn;
    if (row + 1 < core_.row_begin[chain + 1]) drawn += beyond_m3_per_s_[layout_.rows[row].to];
  }
  return drawn;
}

// Trees are summed, ends first; chains from where they begin.
void SteadyProblem::TakeDemands(const Supply& supply) {
  std::vector<double>& beyond = beyond_m3_per_s_;
  demand_m3_per_s_ = supply.demand_m3_per_s;
  for (size_t i = 0; i < beyond.size(); ++i) {
    beyond[i] = request_.fed[i] != 0 && shape_.is_feeder[i] == 0 ? supply.demand_m3_per_s[i] : 0;
  }
  for (const CoreLayout::Slot& slot : layout_.demands) {
    const double demand = std::max(0.0, beyond[slot.node]);
    PutOut(slot.core_link, demand == 0);
    if (demand == 0) continue;
    LinkLaw law = LawOfDemand(demand, *network_.options.short_pressure);
    law.push_up_m = core_.LawOf(slot.core_link).push_up_m;
    law.push_down_m = core_.LawOf(slot.core_link).push_down_m;
    core_.LawOf(slot.core_link) = law;
    core_.guess_m3_per_s[slot.core_link] = demand / 2;
    core_.head_m[slot.beyond] = network_.nodes[slot.node].elevation_m->value;
    beyond[slot.node] -= demand;
  }
  for (const CoreLayout::TreePipe& pipe : layout_.trees) beyond[pipe.parent] += beyond[pipe.node];
  for (uint32_t i = 0; i < core_.unknowns; ++i) core_.demand_m3_per_s[i] = beyond[layout_.node_of[i]];
  for (size_t chain = 0; chain < core_.Chains(); ++chain) {
    const double drawn = SumDrawn(chain);
    if (core_.links[chain].to < core_.unknowns) core_.demand_m3_per_s[core_.links[chain].to] += drawn;
  }
}

// Slots and openings in order of their nodes.
void SteadyProblem::TakeOpenings(const Supply& supply) {
  constexpr double kGuess_m = 20;
  std::vector<const Opening*> openings;
  for (const Opening& opening : supply.openings) openings.push_back(&opening);
  std::stable_sort(openings.begin(), openings.end(),
                   [](const Opening* a, const Opening* b) { return a->node < b->node; });
  auto next = openings.begin();
  for (const CoreLayout::Slot& slot : layout_.openings) {
    while (next != openings.end() && At((*next)->node) < slot.node) ++next;
    const bool is_out = next == openings.end() || At((*next)->node) != slot.node;
    if (!is_out) {
      const Opening& opening = **next++;
      LinkLaw& law = core_.LawOf(slot.core_link);
      LinkLaw now = LawOfOpening(opening.conductance_m25_per_s);
      now.is_out = law.is_out;
      now.push_up_m = law.push_up_m;
      law = now;
      core_.guess_m3_per_s[slot.core_link] = opening.conductance_m25_per_s * std::sqrt(kGuess_m);
      core_.head_m[slot.beyond] = opening.outlet_m;
    }
    PutOut(slot.core_link, is_out);
  }
}

void SteadyProblem::TakeTanks(const Supply& supply) {
  constexpr double kInfinite = std::numeric_limits<double>::infinity();
  for (const CoreLayout::Slot& slot : layout_.tanks) {
    const TankGate gate = GateOf(supply, NodeIndex(slot.node));
    LinkLaw& law = core_.LawOf(slot.core_link);
    PutOut(slot.core_link, gate == TankGate::kShut);
    const double lower = gate == TankGate::kOnlyFills ? 0 : -kInfinite;
    const double upper = gate == TankGate::kOnlyGives ? 0 : kInfinite;
    if (lower != law.lower_m3_per_s) law.push_up_m = 0;
    if (upper != law.upper_m3_per_s) law.push_down_m = 0;
    law.lower_m3_per_s = lower;
    law.upper_m3_per_s = upper;
    core_.head_m[slot.beyond] = supply.fixed_head_m[slot.node];
    const double rise = TankRise_s_per_m2(supply, NodeIndex(slot.node));
    const LinkLaw still = LawOfTank();
    if (law.resists_nothing != (rise == 0)) law.offset_m = 0;
    law.resists_nothing = rise == 0;
    law.linear_s_per_m2 = rise == 0 ? still.linear_s_per_m2 : rise;
  }
}

void SteadyProblem::Take(const Supply& supply) {
  for (const uint32_t feeder : shape_.feeders) {
    const uint32_t node = layout_.core_node[feeder];
    if (node != CoreLayout::kNone && node >= core_.unknowns) core_.head_m[node] = supply.fixed_head_m[feeder];
  }
  TakeLinks(supply);
  TakeDemands(supply);
  TakeOpenings(supply);
  TakeTanks(supply);
}

void SteadyProblem::BeginFrom(const SteadyState& state) {
  for (uint32_t i = 0; i < core_.unknowns; ++i) {
    const double head_m = state.head_m[layout_.node_of[i]];
    if (std::isfinite(head_m)) core_.head_m[i] = head_m;
  }
  for (size_t chain = 0; chain < core_.Chains(); ++chain) {
    const CoreLayout::Row& first = layout_.rows[core_.row_begin[chain]];
    const double flow = state.flow_m3_per_s[first.link];
    if (flow != 0) core_.flow_m3_per_s[chain] = first.is_forward ? flow : -flow;
  }
  for (size_t i = 0; i < layout_.special_of.size(); ++i) {
    if (layout_.special_of[i] == CoreLayout::kNone) continue;
    const double flow = state.flow_m3_per_s[layout_.special_of[i]];
    if (flow != 0) core_.flow_m3_per_s[core_.Chains() + i] = flow;
  }
}

}  // namespace lastreach
