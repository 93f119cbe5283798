#pragma once

#include <vector>

#include "app/device_facts.h"
#include "evidence/fit_facts.h"
#include "evidence/test_flush.h"
#include "store/project.h"

namespace lastreach {

// The points of a project that have readings, zone by zone in order of name, ready to be fitted. A point's
// flow is that of its latest flow test, where that is newer than what stands with the point.
Result<std::vector<FitFacts>> FitFactsOf(const Project& project, const ProjectFacts& facts);

// What ReadTestFlush is told of a point beside the readings; `flush` is the one to be read.
// ERROR: kNotFound for a point that is not in the project.
Result<TestFlushFacts> TestFlushFactsOf(const Project& project, const ProjectFacts& facts,
                                        const PointCode& code, const TestFlush& flush, const Zone& zone);

}  // namespace lastreach
