#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/origin.h"
#include "core/quantity.h"
#include "plan/facts.h"
#include "year/year_parts.h"

namespace lastreach {

// What is known of the water of one supply zone in one month of any year.
struct SeasonWater {
  std::string zone;
  int month = 1;                                            // 1 to 12
  std::optional<Sourced<Temperature>> temperature;          // in the month's warmest week
  std::optional<Sourced<double>> use_factor;                // use of the customers over the average
  std::optional<Sourced<Concentration>> upstream_residual;  // in the well-fed mains
};

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
                    const std::vector<SeasonWater>& water);

}  // namespace lastreach
