// Supply zones.
#include "import/cell_choices.h"
#include "import/row_imports.h"

namespace lastreach {

void ImportZone(RowReader& row, SeenRows& seen, ImportResult& result) {
  SupplyZone zone;
  zone.name = row.Known("name");
  if (zone.name.empty()) return row.Reject("name", "the name is missing");
  if (!seen.IsNew(zone.name, "the zone", "name", row)) return;
  zone.disinfectant = Optional(row, "disinfectant", ReadDisinfectant).value_or(Disinfectant::kFreeChlorine);
  zone.target_residual = As(row.Measure("target_residual", kResiduals), Concentration::MilligramsPerLitre);
  zone.upstream_residual =
      As(row.Measure("upstream_residual", kResiduals), Concentration::MilligramsPerLitre);
  if (const auto bulk = row.Number("bulk", 0, 100))
    zone.bulk_per_day_at_20c = Sourced<double>{*bulk, row.OriginOf(false, "")};
  if (const auto wall = row.Number("wall", 0, 100))
    zone.wall_m_per_day = Sourced<double>{*wall, row.OriginOf(false, "")};
  zone.worst_week = As(row.Measure("worst_week", kWaterCelsius), Temperature::Celsius);
  zone.demand_per_service = As(row.Measure("demand_per_service", kDemands), Flow::CubicMetresPerSecond);
  result.zones.push_back(std::move(zone));
}

}  // namespace lastreach
