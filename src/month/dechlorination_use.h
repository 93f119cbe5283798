#pragma once

#include <optional>

#include "month/month_facts.h"
#include "month/month_report.h"

namespace lastreach {

// What the water let out at a point took of what is fed into it; none where nothing is. `readings` are the
// point's of the month; without any the zone's target stands in, then its upstream residual.
std::optional<MonthDechlorination> DechlorinationOf(const MonthFacts& facts, const PointRecords& records,
                                                    const std::vector<ResidualReading>& readings,
                                                    double water_m3, Instant begin, Instant end);

}  // namespace lastreach
