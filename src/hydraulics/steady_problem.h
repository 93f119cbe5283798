#pragma once

#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "core/result.h"
#include "hydraulics/balance.h"
#include "hydraulics/core_layout.h"
#include "hydraulics/core_solve.h"
#include "hydraulics/network_shape.h"
#include "hydraulics/solve.h"
#include "hydraulics/supply.h"
#include "network/network.h"

namespace lastreach {

// A network laid out for a supply: what acts on it goes into the core, and heads and flows of the core come
// back as those of the network. One layout serves as long as the same nodes are fed.
class SteadyProblem {
 public:
  static Result<std::unique_ptr<SteadyProblem>> Make(const NetworkShape& shape, LayoutRequest request,
                                                     const CoreOptions& options);
  SteadyProblem(const SteadyProblem&) = delete;
  SteadyProblem& operator=(const SteadyProblem&) = delete;

  const LayoutRequest& request() const { return request_; }
  const CoreLayout& layout() const { return layout_; }
  const Core& core() const { return core_; }
  double symbolic_s() const { return solver_->symbolic_s(); }

  // Of a link of the core; none, of what is no link of the network.
  uint32_t LinkOf(uint32_t core_link) const {
    return core_link < core_.Chains() ? layout_.rows[core_.row_begin[core_link]].link
                                      : layout_.special_of[core_link - core_.Chains()];
  }
  // REQUIRES: the supply feeds the nodes of the request and has room in it.
  void Take(const Supply& supply);
  // The same where nothing but the demands of these nodes and the openings differ from what was taken before;
  // gives what that changes in the core. None where more is to be done.
  std::optional<CoreChange> TakeChange(const Supply& supply, std::span<const uint32_t> nodes);
  // Begins from these heads and flows where they are known.
  void BeginFrom(const SteadyState& state);
  void Forget() { solver_->Forget(); }
  CoreOutcome Solve() { return solver_->Solve(); }
  std::optional<CoreOutcome> Follow(const CoreChange& change) { return solver_->Follow(change); }
  // Fills heads, flows and what is drawn.
  void Give(const Supply& supply, SteadyState& state);
  // As ImbalanceOf of all that was given, for an answer that followed nearly: what trees and chains give is
  // made to balance but for rounding, so the core alone can miss.
  Imbalance ImbalanceOfCore(const CoreOutcome& outcome) const;

 private:
  SteadyProblem(const NetworkShape& shape, LayoutRequest request, LaidOut made);
  void TakeLinks(const Supply& supply);
  void TakeDemands(const Supply& supply);
  void TakeOpenings(const Supply& supply);
  double SumDrawn(size_t chain);
  void FindWays();
  void SumBeyond(uint32_t node);
  void ChangeOpenings(const Supply& supply, CoreChange& change);
  void TakeDemand(uint32_t node, double demand_m3_per_s, CoreChange& change);
  void TakeTanks(const Supply& supply);
  void PutOut(uint32_t core_link, bool out);
  void GiveFlows(SteadyState& state) const;
  void GiveHeads(const Supply& supply, SteadyState& state);
  void GiveHeadsWithinChains(SteadyState& state);
  void GiveOutflow(const Supply& supply, SteadyState& state) const;
  double SlotFlow(const CoreLayout::Slot& slot) const;

  const NetworkShape& shape_;
  const Network& network_;
  LayoutRequest request_;
  CoreLayout layout_;
  Core core_;
  std::optional<CoreSolver> solver_;
  std::vector<double> beyond_m3_per_s_;  // size nodes: drawn at a tree's node and beyond it
  std::vector<double> demand_m3_per_s_;  // size nodes: taken last
  // Made when first asked for. Size nodes: of a tree's node its parent, of one within a chain its row; nodes
  // whose parent a node is.
  std::vector<uint32_t> parent_, row_to_, first_branch_, branch_;
  PipeRows tree_pipes_;  // of the trees, each turned away from its parent
  // Work space: size trees; size core pipes.
  std::vector<double> tree_flow_m3_per_s_, tree_loss_m_, tree_slope_s_per_m2_;
  std::vector<double> row_flow_m3_per_s_, row_loss_m_, row_slope_s_per_m2_;
};

}  // namespace lastreach
