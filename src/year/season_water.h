#pragma once

#include <string>
#include <vector>

#include "ledger/month_water.h"
#include "plan/facts.h"
#include "year/year_parts.h"

namespace lastreach {

// One device as it stands in one part of the year, ready to be planned.
struct FactsOfPart {
  DeviceFacts facts;
  PlanOptions options;                     // the season is the part
  std::vector<std::string> as_worst_week;  // what is not known of this part, in words
};

// The water of a part is that of its hardest month, item by item: the highest temperature, the least use, the
// lowest residual upstream. A month of which an item is not known counts as the zone's worst week, which is
// said.
//
//   use = average x factor           upstream = reach's own x month's / zone's
//
// A residual read upstream of the reach itself moves as the zone's does; where the zone has none, the lower
// of the two is taken. A temperature asked for in `options` stands for months of which nothing is known.
FactsOfPart FactsIn(const YearPart& part, const DeviceFacts& facts, const PlanOptions& options,
                    const std::vector<MonthWater>& water);

// The water of a part for a whole network: its zones as FactsIn has them, and what the average use of every
// customer is multiplied by. A network has one such factor: the least of the zones'.
struct ZonesOfPart {
  std::vector<SupplyZone> zones;
  double use_factor = 1;
};
ZonesOfPart ZonesIn(const YearPart& part, const std::vector<SupplyZone>& zones, const PlanOptions& options,
                    const std::vector<MonthWater>& water);

}  // namespace lastreach
