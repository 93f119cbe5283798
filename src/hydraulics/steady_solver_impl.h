#pragma once

#include <optional>
#include <vector>

#include "hydraulics/balance.h"
#include "hydraulics/core_layout.h"
#include "hydraulics/network_shape.h"
#include "hydraulics/steady_problem.h"
#include "hydraulics/steady_solver.h"

namespace lastreach {

// steady_solver.cc solves and sums up, steady_room.cc keeps the layout to what the supply needs,
// steady_follow.cc goes from one answer to another near it.
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
  // From the last answer, where the change is small. Else the problem is left as it was or with the change in
  // it, on the way to the answer.
  bool Follow(const Supply& supply);
  Status SolveAnew(const Supply& supply);
  Status SolveLaidOut(const Supply& supply);
  void Summarise(const CoreOutcome& outcome);
  // What does not balance is not claimed.
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

std::vector<NodeIndex> NodesOf(const std::vector<Opening>& openings);  // in order

}  // namespace lastreach
