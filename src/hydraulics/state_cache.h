#pragma once

#include <cstdint>
#include <map>
#include <span>
#include <vector>

#include "hydraulics/solve.h"
#include "hydraulics/supply.h"

namespace lastreach {

// Steady states that were solved before, by what acted on the network then. Kept first come, first served
// while there is room: days repeat, so the first day is what is asked for again.
//
// A state takes 8 bytes a link, 4 a node, and 16 for each node where something else leaves than the demand.
// ERROR: none of flows and of what leaves; of heads a 2^33rd of their range, 1e-8 m where they lie within 80
// m. COST: a pass over what is kept.
class StateCache {
 public:
  explicit StateCache(size_t room_bytes) : room_bytes_(room_bytes) {}

  // Fills in the state of exactly this key, the same each time, or says there is none. REQUIRES: the supply
  // is the one it was kept with.
  bool Find(const std::vector<double>& key, const Supply& supply, SteadyState& state) const;
  // Keeps a copy if there is room. Gives whether there is one now.
  bool Keep(const std::vector<double>& key, const Supply& supply, const SteadyState& state);

 private:
  static constexpr uint32_t kNotKnown = UINT32_MAX;
  struct Outflow {
    uint32_t node;
    double m3_per_s;
  };
  struct Kept {
    double lowest_m = 0, step_m = 0;
    std::vector<uint32_t> head_steps;  // size nodes: above the lowest, or kNotKnown
    std::vector<Outflow> outflows;     // that are not the demand
    std::vector<double> flow_m3_per_s;
    SteadySummary summary;

    size_t Bytes() const;
  };
  static Kept Packed(const Supply& supply, const SteadyState& state);

  size_t room_bytes_;
  std::map<std::vector<double>, Kept> states_;
};

}  // namespace lastreach
