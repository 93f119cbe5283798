#include "month/dechlorination_use.h"

#include <algorithm>

#include "month/dechlorination.h"

namespace lastreach {
namespace {

std::optional<double> ZoneResidual(const MonthFacts& facts, const std::string& name) {
  for (const SupplyZone& zone : facts.zones) {
    if (zone.name != name) continue;
    if (zone.target_residual) return zone.target_residual->value.milligrams_per_litre();
    if (zone.upstream_residual) return zone.upstream_residual->value.milligrams_per_litre();
  }
  return {};
}

}  // namespace

std::optional<MonthDechlorination> DechlorinationOf(const MonthFacts& facts, const PointRecords& records,
                                                    const std::vector<ResidualReading>& readings,
                                                    double water_m3, Instant begin, Instant end) {
  const FlushPoint& point = records.point;
  if (point.dechlorination.empty() || point.dechlorination == "none") return {};
  MonthDechlorination use;
  use.point = point.code;
  use.words = point.dechlorination;
  double sum_mg_per_l = 0;
  for (const ResidualReading& reading : readings) sum_mg_per_l += reading.mg_per_l;
  if (!readings.empty()) {
    use.residual_mg_per_l = sum_mg_per_l / static_cast<double>(readings.size());
  } else {
    use.residual_mg_per_l = ZoneResidual(facts, point.supply_zone);
    use.residual_is_zones = use.residual_mg_per_l.has_value();
  }
  if (use.residual_mg_per_l) use.chlorine_kg = ChlorineMass_kg(water_m3, *use.residual_mg_per_l);
  if (const DechlorinationAgent* agent = FindAgent(point.dechlorination)) {
    use.agent = agent->name;
    const auto own = facts.doses_mg_per_mg.find(use.agent);
    use.dose_is_own = own != facts.doses_mg_per_mg.end();
    if (use.dose_is_own) {
      use.dose_mg_per_mg = own->second;
    } else if (!agent->needs_own_dose) {
      use.dose_mg_per_mg = StoichiometricDose_mg_per_mg(*agent);
    }
  }
  if (use.chlorine_kg && use.dose_mg_per_mg) use.agent_kg = *use.chlorine_kg * *use.dose_mg_per_mg;
  use.refills =
      static_cast<int>(std::count_if(records.visits.begin(), records.visits.end(), [&](const Visit& visit) {
        return visit.dechlorination_refilled && visit.arrived >= begin && visit.arrived < end;
      }));
  if (point.dechlorination_holds_kg) use.refilled_kg = use.refills * *point.dechlorination_holds_kg;
  return use;
}

}  // namespace lastreach
