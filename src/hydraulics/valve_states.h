#pragma once

#include <set>
#include <vector>

#include "hydraulics/core_problem.h"

namespace lastreach {

// What the valve should be, seen from heads and flows that its present state has led to: its present state
// again if those agree with it.
//
//   reducing   open      while `to` stays at or under the setting
//              holding   while flow is not backward and the head before it suffices
//              shut      while `to` is at or over the setting by other ways
//   sustaining the same for `from`, over for under
//
// Two that hold one node share its flow; of unequal settings the one that cannot have its way shuts.
ValveState WantedState(const Core& core, const CoreValve& valve);

// Puts the valve into the state: its bounds follow, its pushes begin anew.
void SetState(Core& core, CoreValve& valve, ValveState state);

// Changes valves to what they want, but never to a set of states that has been tried: all that want to first,
// else one of them alone. So the search ends. COST: O(valves) a call, no more calls than sets of states.
class ValveSearch {
 public:
  enum class Step { kAllAgree, kChanged, kNothingNew };
  Step Next(Core& core);
  // Links of the valves that wanted another state at the last call.
  const std::vector<uint32_t>& unsettled() const { return unsettled_; }

 private:
  std::set<std::vector<ValveState>> tried_;
  std::vector<uint32_t> unsettled_;
};

}  // namespace lastreach
