#include "hydraulics/state_cache.h"

namespace lastreach {

const SteadyState* StateCache::Find(const std::vector<double>& key) const {
  const auto found = states_.find(key);
  return found == states_.end() ? nullptr : &found->second;
}

void StateCache::Keep(const std::vector<double>& key, const SteadyState& state) {
  const size_t numbers = key.size() + state.head_m.size() + state.outflow_m3_per_s.size() +
                         state.flow_m3_per_s.size() + state.summary.not_fed.size();
  const size_t bytes = numbers * sizeof(double) + sizeof(SteadyState);
  if (bytes > room_bytes_) return;
  if (states_.emplace(key, state).second) room_bytes_ -= bytes;
}

}  // namespace lastreach
