#pragma once

#include <vector>

#include "app/findings.h"
#include "core/civil_time.h"
#include "store/project.h"

namespace lastreach {

// What cannot be so in the records of runs, flows and meters, each kind once with the points it holds for:
//   run in the future, meter went back, dial beyond its turn, flow unlike the lid's
// A read went back if it is less than the one before it, or than what the new meter showed, unless the dial
// can have turned over in between: a read in the upper half of the dial and then one in the lower. Estimated
// reads take no part. The flow
// is unlike the lid's if the latest test of the point is 3 times it or more, or a third or less (common
// practice, no source). ERROR: what reading the project gives.
Result<std::vector<Finding>> FindFlushFaults(const Project& project, Instant now);

// Of reads of one meter, in order of time: whether one went back.
bool WentBack(const std::vector<MeterRead>& reads, std::optional<Volume> turns_over_at);

}  // namespace lastreach
