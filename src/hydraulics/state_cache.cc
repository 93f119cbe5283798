#include "hydraulics/state_cache.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace lastreach {

size_t StateCache::Kept::Bytes() const {
  return sizeof(Kept) + head_steps.size() * sizeof(uint32_t) + outflows.size() * sizeof(Outflow) +
         flow_m3_per_s.size() * sizeof(double) + summary.not_fed.size() * sizeof(NodeIndex);
}

StateCache::Kept StateCache::Packed(const Supply& supply, const SteadyState& state) {
  Kept kept;
  double highest_m = -std::numeric_limits<double>::infinity();
  double lowest_m = std::numeric_limits<double>::infinity();
  for (const double head_m : state.head_m) {
    if (!std::isfinite(head_m)) continue;
    highest_m = std::max(highest_m, head_m);
    lowest_m = std::min(lowest_m, head_m);
  }
  kept.lowest_m = lowest_m;
  kept.step_m = (highest_m - lowest_m) / (kNotKnown - 1);
  const double per_step = kept.step_m > 0 ? 1 / kept.step_m : 0;
  kept.head_steps.reserve(state.head_m.size());
  for (const double head_m : state.head_m) {
    const bool is_known = std::isfinite(head_m);
    const double steps = is_known ? std::round((head_m - lowest_m) * per_step) : kNotKnown;
    kept.head_steps.push_back(static_cast<uint32_t>(steps));
  }
  for (size_t i = 0; i < state.outflow_m3_per_s.size(); ++i) {
    if (state.outflow_m3_per_s[i] == supply.demand_m3_per_s[i]) continue;
    kept.outflows.push_back({static_cast<uint32_t>(i), state.outflow_m3_per_s[i]});
  }
  kept.outflows.shrink_to_fit();
  kept.flow_m3_per_s = state.flow_m3_per_s;
  kept.summary = state.summary;
  return kept;
}

bool StateCache::Find(const std::vector<double>& key, const Supply& supply, SteadyState& state) const {
  const auto found = states_.find(key);
  if (found == states_.end()) return false;
  const Kept& kept = found->second;
  state.head_m.resize(kept.head_steps.size());
  for (size_t i = 0; i < state.head_m.size(); ++i) {
    const uint32_t steps = kept.head_steps[i];
    state.head_m[i] =
        steps == kNotKnown ? std::numeric_limits<double>::quiet_NaN() : kept.lowest_m + steps * kept.step_m;
  }
  state.outflow_m3_per_s = supply.demand_m3_per_s;
  for (const Outflow& outflow : kept.outflows) state.outflow_m3_per_s[outflow.node] = outflow.m3_per_s;
  state.flow_m3_per_s = kept.flow_m3_per_s;
  state.summary = kept.summary;
  return true;
}

bool StateCache::Keep(const std::vector<double>& key, const Supply& supply, const SteadyState& state) {
  if (states_.contains(key)) return true;
  // A first guess, so that a state that never fits is not packed each time.
  if (state.flow_m3_per_s.size() * sizeof(double) > room_bytes_) return false;
  Kept kept = Packed(supply, state);
  const size_t bytes = kept.Bytes() + key.size() * sizeof(double);
  if (bytes > room_bytes_) return false;
  room_bytes_ -= bytes;
  states_.emplace(key, std::move(kept));
  return true;
}

}  // namespace lastreach
