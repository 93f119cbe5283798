#pragma once

#include <chrono>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "core/zone.h"
#include "evidence/point_records.h"
#include "ledger/limits.h"
#include "ledger/month_records.h"
#include "ledger/prices.h"
#include "ledger/reach.h"

namespace lastreach {

// All that a month's account is made from.
struct MonthFacts {
  std::chrono::year_month month;
  Zone zone = Zone::Utc();
  Instant now{};  // what was written down up to then is known; a month that is not over is counted up to then
  std::vector<PointRecords> points;  // in order of code
  std::vector<SupplyZone> zones;
  std::vector<Limit> limits;
  std::vector<ByproductResult> byproducts;
  std::vector<SuppliedMonth> supplied;
  Prices prices;
  std::optional<int64_t> population;
  std::map<std::string, double> doses_mg_per_mg;  // of dechlorination agents, by name: the user's own
};

}  // namespace lastreach
