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
  double sd_m3 = 0;  // of what the dial can show
  // The dial shows less than before, and nothing explains it: no volume.
  bool falls = false;
};

// Between one read and the next, as evidence/read_intervals.h reads the dial: estimates are passed over,
// turn-overs and new meters counted. Where the dial falls, one of the two reads is wrong: the later one if
// the read after it goes on from the earlier, else the earlier one if the later goes on from the read before.
// Such an interval is followed by the one that reaches across the wrong read.
std::vector<DialInterval> DialIntervals(const PointRecords& records);

}  // namespace lastreach
