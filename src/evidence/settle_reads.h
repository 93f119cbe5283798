#pragma once

#include <string>
#include <vector>

#include "evidence/expected_water.h"
#include "evidence/read_intervals.h"

namespace lastreach {

// Reads that both their neighbours contradict are wrong whatever else went on: what came in before such a
// read is too much and what came after too little by as much, or the other way about, while both together are
// what the settings make, or run on as the interval before or after them. The last read has only one
// neighbour and stays. Takes them out of `dial`, the worst first until there are none, and gives them back; a
// note tells of each, and of the factor that would put it right.
//
// By how much: a quarter of what both intervals together should bring and more than three runs. "Run on": to
// 15 %. SOURCE: common practice, no source. COST: that of ExpectedBetween for each interval.
std::vector<MeterRead> SettleReads(const PointRecords& records, const KnownFlow& flow,
                                   std::vector<DialRead>& dial, std::vector<std::string>& notes);

}  // namespace lastreach
