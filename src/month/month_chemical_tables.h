#pragma once

#include "month/month_report.h"
#include "month/month_table.h"

namespace lastreach {

// Each site's four quarters, their average and the evaluation level, held against the limit.
MonthTable ByproductTable(const MonthReport& report);
// What is fed into the water let out at each point, and how much of it the month took.
MonthTable DechlorinationTable(const MonthReport& report);

}  // namespace lastreach
