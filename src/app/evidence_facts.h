#pragma once

#include <string>
#include <vector>

#include "core/result.h"
#include "evidence/watch.h"
#include "store/project.h"

namespace lastreach {

// All that was written down of each point, in order of code, with its zone and the limits that bind it. A
// timer or zone nobody has described is one of which only the name is known. ERROR: what reading the
// project's file gives.
Result<std::vector<WatchFacts>> EvidenceFactsOf(const Project& project);

// Devices and hand points whose place or code people mean by `words`, the best first: a code as it is
// written; "lat,lon", by distance within 500 m; else a street, in any of its spellings, or one letter or two
// off. ERROR: kBadRequest naming points there are, where none fits.
Result<std::vector<size_t>> PointsNear(const std::vector<WatchFacts>& facts, const std::string& words);

// "today" of a command: the day said, else that of `now` where the project stands.
Result<Date> TodayOf(const std::string& said, const Zone& zone, Instant now);

}  // namespace lastreach
