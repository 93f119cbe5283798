#pragma once

#include "month/month_report.h"
#include "month/month_table.h"

namespace lastreach {

// The month's readings one by one, with what was written kept beside what it was taken to mean.
MonthTable ReadingTable(const MonthReport& report);
// Their summary: all of them first, then zone by zone.
MonthTable ResidualTable(const MonthReport& report);

}  // namespace lastreach
