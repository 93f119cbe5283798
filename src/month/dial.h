#pragma once

#include <vector>

#include "evidence/point_records.h"

namespace lastreach {

// What passed a meter between two reads by somebody who stood before it.
struct DialInterval {
  Instant from{};
  Instant to{};
  Date from_day;
  Date to_day;
  bool from_day_only = false;  // the read carries no time of day
  bool to_day_only = false;
  double volume_m3 = 0;
  // The dial shows less than before, with neither a new meter nor a turn-over to explain it: no volume.
  bool falls = false;
};

// Between one read and the next, in order of time. Estimated reads are passed over: the interval reaches
// across them. A dial that shows less than before has turned over, where the point says at what it does; a
// read that tells of a new meter ends the old one's count and begins the new one's. Of reads at the same
// moment the last counts.
std::vector<DialInterval> DialIntervals(const PointRecords& records);

}  // namespace lastreach
