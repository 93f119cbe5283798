// Supply zones.
#include "store/project_impl.h"

namespace lastreach {
namespace {

Result<SupplyZone> ReadZone(const Row& row) {
  const auto disinfectant = ParseDisinfectant(row.Text("disinfectant"));
  if (!disinfectant.ok()) return disinfectant.error();
  SupplyZone zone;
  zone.name = row.Text("name");
  zone.disinfectant = *disinfectant;
  Status read = Ok();
  const auto take = [&](auto& to, const char* column, const auto& unit) {
    auto value = ReadSourced(row, column, unit);
    if (value.ok()) {
      to = std::move(*value);
    } else {
      read = value.error();
    }
  };
  take(zone.target_residual, "target_residual_mg_per_l", kMilligramsPerLitre);
  take(zone.upstream_residual, "upstream_residual_mg_per_l", kMilligramsPerLitre);
  take(zone.bulk_per_day_at_20c, "bulk_per_day_at_20c", kPlain);
  take(zone.wall_m_per_day, "wall_m_per_day", kPlain);
  take(zone.worst_week, "worst_week_c", kCelsius);
  take(zone.demand_per_service, "demand_per_service_l_per_s", kLitresPerSecond);
  if (!read.ok()) return read.error();
  return zone;
}

}  // namespace

Status Project::PutSupplyZone(const SupplyZone& zone) {
  if (zone.name.empty()) return BadInput("a supply zone needs a name", {"", {}, "name", ""});
  Columns columns = {{"name", zone.name}, {"disinfectant", TextOf(ToText(zone.disinfectant))}};
  AddSourced(columns, "target_residual_mg_per_l", zone.target_residual, kMilligramsPerLitre);
  AddSourced(columns, "upstream_residual_mg_per_l", zone.upstream_residual, kMilligramsPerLitre);
  AddSourced(columns, "bulk_per_day_at_20c", zone.bulk_per_day_at_20c, kPlain);
  AddSourced(columns, "wall_m_per_day", zone.wall_m_per_day, kPlain);
  AddSourced(columns, "worst_week_c", zone.worst_week, kCelsius);
  AddSourced(columns, "demand_per_service_l_per_s", zone.demand_per_service, kLitresPerSecond);
  return impl_->database->Upsert("supply_zones", "name", columns);
}

Result<std::vector<SupplyZone>> Project::SupplyZones() const {
  return impl_->List<SupplyZone>("SELECT * FROM supply_zones ORDER BY name", {}, ReadZone);
}

}  // namespace lastreach
