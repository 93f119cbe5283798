#pragma once

#include <string>

#include "core/civil_time.h"
#include "core/result.h"
#include "month/month_tables.h"

namespace lastreach {

// The month as a workbook (Office Open XML): a sheet for every table that has rows, headings in the first
// row, numbers as numbers with the digits printed elsewhere, the total in the last row. `made` stands in the
// file's properties. ERROR: kBadInput if `path` cannot be written.
Status WriteMonthWorkbook(const MonthBook& book, Instant made, const std::string& path);

}  // namespace lastreach
