#pragma once

#include <vector>

#include "core/civil_time.h"

namespace lastreach {

// The valve let water out from `begin` to `end`.
struct ValveOpening {
  Instant begin;
  Instant end;
  double flow_m3_per_s = 0;
  friend bool operator==(const ValveOpening&, const ValveOpening&) = default;
};

// All the water one valve let out, as it really was.
class TrueValve {
 public:
  // Openings in any order; where two overlap the later one begins when the earlier ends. `leaks` add to them.
  explicit TrueValve(std::vector<ValveOpening> runs = {}, std::vector<ValveOpening> leaks = {});

  const std::vector<ValveOpening>& runs() const { return runs_; }  // in order, none overlaps another
  const std::vector<ValveOpening>& leaks() const { return leaks_; }

  // Integral of the flow from the first opening to `moment`. COST: O(log runs + leaks)
  double VolumeBefore_m3(Instant moment) const;

 private:
  std::vector<ValveOpening> runs_;
  std::vector<ValveOpening> leaks_;
  std::vector<double> before_m3_;  // by each run, the volume of those before it
};

}  // namespace lastreach
