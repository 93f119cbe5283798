#pragma once

#include <map>
#include <span>
#include <vector>

#include "hydraulics/solve.h"

namespace lastreach {

// Steady states that were solved before, by what acted on the network then. Kept first come, first served
// while there is room: days repeat, so the first day is what is asked for again.
class StateCache {
 public:
  explicit StateCache(size_t room_bytes) : room_bytes_(room_bytes) {}

  // The state of exactly this key, or null. It stays until the cache goes.
  const SteadyState* Find(const std::vector<double>& key) const;
  // Keeps a copy if there is room.
  void Keep(const std::vector<double>& key, const SteadyState& state);

 private:
  size_t room_bytes_;
  std::map<std::vector<double>, SteadyState> states_;
};

}  // namespace lastreach
