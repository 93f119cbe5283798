// The water of each zone by month, typed by month or found in dated temperatures.
#include <cstdio>

#include "import/cell_words.h"
#include "import/month_words.h"
#include "import/row_imports.h"
#include "import/warm_weeks.h"

namespace lastreach {
namespace {

// The zones a row is about. Empty, and the row rejected, if that cannot be told.
std::vector<std::string> ZonesOf(RowReader& row, const SeenRows& seen) {
  const std::string said = row.Known("zone");
  if (const std::string plain = Plainly(said);
      !seen.zones.empty() && (plain == "all" || plain == "every zone"))
    return seen.zones;
  if (!said.empty()) {
    const auto zone = seen.ZoneNamed(said);
    if (zone) return {*zone};
    if (seen.zones.empty()) return {said};
    row.Reject("zone", "the project has no such zone");
    return {};
  }
  if (const auto point = seen.points.FindByCode(row.Known("place"))) {
    for (const FlushPoint& known : row.context().known_points) {
      if (known.code == point->code && !known.supply_zone.empty()) return {known.supply_zone};
    }
  }
  if (seen.zones.size() == 1) return seen.zones;
  row.Reject("zone", seen.zones.empty() ? "the zone is missing" : "which zone is wanted, or all");
  return {};
}

Origin WithSource(Origin origin, const std::string& source) {
  if (!source.empty()) origin.note = source + (origin.note.empty() ? "" : "; " + origin.note);
  return origin;
}

void ReadDated(RowReader& row, const std::vector<std::string>& zones, SeenRows& seen,
               const ImportResult& result) {
  const auto day = row.Day("date");
  if (!day.ok()) return row.Reject("date", day.error().message);
  const size_t listed = result.left_out.size();
  const auto temperature = row.Measure("temperature", kWaterCelsius);
  if (!temperature) {
    return row.Reject("temperature", result.left_out.size() > listed ? result.left_out[listed].reason
                                                                     : "the temperature is missing");
  }
  for (const char* field : {"use_factor", "upstream_residual"}) {
    if (!row.Known(field).empty()) row.LeaveOut(field, "this is taken only from rows of a month");
  }
  for (const std::string& zone : zones) seen.temperatures[zone].push_back({day->day, temperature->si});
}

void ReadMonth(RowReader& row, const std::vector<std::string>& zones, SeenRows& seen, ImportResult& result) {
  const auto month = ParseMonth(row.Known("month"));
  if (!month.ok()) return row.Reject("month", month.error().message);
  const std::string source = row.Known("source");
  const size_t listed = result.left_out.size();
  MonthWater water;
  water.month = *month;
  water.temperature = As(row.Measure("temperature", kWaterCelsius), Temperature::Celsius);
  if (const auto factor = row.Number("use_factor", 0.05, 20))
    water.use_factor = Sourced<double>{*factor, row.OriginOf(false, "")};
  water.upstream_residual =
      As(row.Measure("upstream_residual", kResiduals), Concentration::MilligramsPerLitre);
  if (!water.temperature && !water.use_factor && !water.upstream_residual) {
    // Of the cell that was meant to have one, if any.
    for (const char* field : {"temperature", "use_factor", "upstream_residual"}) {
      if (!row.Known(field).empty() && result.left_out.size() > listed)
        return row.Reject(field, result.left_out[listed].reason);
    }
    return row.Reject("month", "there is no number for the month in this row");
  }
  if (water.temperature) water.temperature->origin = WithSource(water.temperature->origin, source);
  if (water.use_factor) water.use_factor->origin = WithSource(water.use_factor->origin, source);
  if (water.upstream_residual)
    water.upstream_residual->origin = WithSource(water.upstream_residual->origin, source);
  for (const std::string& zone : zones) {
    const std::string what = "the month for " + zone;
    if (!seen.IsNew(zone + "\n" + std::to_string(*month), what, "month", row)) return;
  }
  for (const std::string& zone : zones) {
    water.zone = zone;
    result.months.push_back(water);
  }
}

MonthWater& MonthOf(const std::string& zone, int month, ImportResult& result) {
  for (MonthWater& water : result.months) {
    if (water.zone == zone && water.month == month) return water;
  }
  result.months.push_back({zone, month, {}, {}, {}});
  return result.months.back();
}

}  // namespace

void ImportTemperature(RowReader& row, SeenRows& seen, ImportResult& result) {
  const std::vector<std::string> zones = ZonesOf(row, seen);
  if (zones.empty()) return;
  if (!row.Known("date").empty()) return ReadDated(row, zones, seen, result);
  if (!row.Known("month").empty()) return ReadMonth(row, zones, seen, result);
  row.Reject("month", "a month or a date is wanted");
}

void FindWarmestWeeks(const SeenRows& seen, const ImportContext& context, ImportResult& result) {
  for (const auto& [zone, readings] : seen.temperatures) {
    for (const auto& [month, warmest] : WarmestOf(readings)) {
      MonthWater& water = MonthOf(zone, month, result);
      char celsius[32];
      std::snprintf(celsius, sizeof celsius, "%.1f C", warmest.celsius);
      const std::string found =
          zone + ", " + std::string(MonthWord(month)) + ": " + celsius + ", " + warmest.how;
      if (water.temperature) {
        result.notes.push_back(found + "; the temperature typed for the month is kept");
        continue;
      }
      const Instant noon = context.zone.FirstInstant(Midnight(warmest.to) + std::chrono::hours(12));
      water.temperature = Sourced<Temperature>{Temperature::Celsius(warmest.celsius),
                                               {OriginKind::kMeasured, context.who, noon, warmest.how}};
      result.notes.push_back(found);
    }
  }
}

}  // namespace lastreach
