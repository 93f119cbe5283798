#pragma once

#include <string>

#include "core/result.h"
#include "month/month_tables.h"
#include "report/sheet_options.h"

namespace lastreach {

// The month on paper, as PDF, to be signed and filed: what stands out, residuals, water by point with how it
// is known, flushes that somebody logged, dechlorination, by-products, cost. The numbers are those of `book`,
// with thousands set apart; the flush log of timers, one line a run, is left to the other files.
//
// ERROR: as WriteKeyInSheet. REQUIRES: `options.paper` is kA4 or kLetter.
Status WriteMonthPaper(const MonthBook& book, const SheetOptions& options, const std::string& path);

}  // namespace lastreach
