#pragma once

#include <vector>

#include "month/month_report.h"

namespace lastreach {

// What of one point stands out between `first` and `last`, the days of the month: see ExceptionKind.
// `readings` are all of the point's, in order of time; what came after the month closes what stood open in
// it.
std::vector<MonthException> ExceptionsOf(const PointRecords& records,
                                         const std::vector<ResidualReading>& readings,
                                         const PointWater& water, Date first, Date last, Instant begin,
                                         Instant end);

}  // namespace lastreach
