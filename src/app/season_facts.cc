#include "app/season_facts.h"

#include <algorithm>

namespace lastreach {

YearPart PartOf(const PlanOptions& options) {
  YearPart part{options.season, {options.from, options.to}, {}};
  for (auto month = options.from.year() / options.from.month(); month / std::chrono::day(1) < options.to;
       month += std::chrono::months(1)) {
    part.months.push_back(static_cast<int>(static_cast<unsigned>(month.month())));
  }
  return part;
}

void TakeWaterOf(const YearPart& season, const std::vector<MonthWater>& water, const PlanOptions& options,
                 ProjectFacts& facts, std::vector<std::vector<std::string>>& not_known) {
  not_known.resize(facts.devices.size());
  for (size_t d = 0; d < facts.devices.size(); ++d) {
    DeviceFacts& device = facts.devices[d];
    const bool known = std::any_of(water.begin(), water.end(),
                                   [&](const MonthWater& w) { return w.zone == device.supply.name; });
    if (!known) continue;
    FactsOfPart in_season = FactsIn(season, device, options, water);
    device = std::move(in_season.facts);
    not_known[d] = std::move(in_season.as_worst_week);
  }
}

}  // namespace lastreach
