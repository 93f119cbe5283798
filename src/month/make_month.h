#pragma once

#include "month/month_facts.h"
#include "month/month_report.h"

namespace lastreach {

// The first moment of the month and of the one after, by the clocks of the zone.
Instant BeginOf(const Zone& zone, std::chrono::year_month month);

// The account of one month. It only adds up what the ledger says: nothing is planned or fitted.
// The facts must outlive it: its flush log points into their records. REQUIRES: the month has begun at `now`.
MonthReport MakeMonth(const MonthFacts& facts);

}  // namespace lastreach
