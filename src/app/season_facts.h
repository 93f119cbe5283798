#pragma once

#include <string>
#include <vector>

#include "app/device_facts.h"
#include "year/season_water.h"

namespace lastreach {

// The months that a season touches.
YearPart PartOf(const PlanOptions& options);

// Puts the water of the season in place of the worst week's, where the project knows the zone's months; what
// it does not know of them is said. A temperature asked for stands.
void TakeWaterOf(const YearPart& season, const std::vector<MonthWater>& water, const PlanOptions& options,
                 ProjectFacts& facts, std::vector<std::vector<std::string>>& not_known);

}  // namespace lastreach
