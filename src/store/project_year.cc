// Water by month, trips and prices.
#include "store/project_impl.h"

namespace lastreach {
namespace {

Result<MonthWater> ReadMonthWater(const Row& row) {
  auto temperature = ReadSourced(row, "temperature_c", kCelsius);
  if (!temperature.ok()) return temperature.error();
  auto use = ReadSourced(row, "use_factor", kPlain);
  if (!use.ok()) return use.error();
  auto residual = ReadSourced(row, "upstream_residual_mg_per_l", kMilligramsPerLitre);
  if (!residual.ok()) return residual.error();
  return MonthWater{row.Text("zone"), static_cast<int>(row.Int("month")), std::move(*temperature),
                    std::move(*use), std::move(*residual)};
}

Result<Trip> ReadTrip(const Row& row) {
  const auto scope = ParseLimitScope(row.Text("scope"));
  if (!scope.ok()) return scope.error();
  Trip trip{TripId{row.Int("id")}, *scope, row.Text("subject"), kEveryMonth, row.Text("why")};
  if (row.IsNull("day")) {
    trip.time = Months{static_cast<unsigned>(row.Int("months"))};
    return trip;
  }
  const auto day = ReadDate(row, "day");
  if (!day.ok()) return day.error();
  trip.time = *day;
  return trip;
}

Result<Prices> ReadPrices(const Row& row) {
  auto water = ReadSourced(row, "water_per_m3", kPlain);
  if (!water.ok()) return water.error();
  auto visit = ReadSourced(row, "visit", kPlain);
  if (!visit.ok()) return visit.error();
  return Prices{row.Text("currency"), std::move(*water), std::move(*visit)};
}

}  // namespace

Status Project::PutMonthWater(const MonthWater& water) {
  if (water.zone.empty()) return BadInput("the water of a month needs its supply zone", {"", {}, "zone", ""});
  if (water.month < 1 || water.month > 12) {
    return BadInput("there is no such month", {"", {}, "month", std::to_string(water.month)});
  }
  Columns columns = {{"zone", water.zone}, {"month", int64_t{water.month}}};
  AddSourced(columns, "temperature_c", water.temperature, kCelsius);
  AddSourced(columns, "use_factor", water.use_factor, kPlain);
  AddSourced(columns, "upstream_residual_mg_per_l", water.upstream_residual, kMilligramsPerLitre);
  return InTransaction([&]() -> Status {
    Status cleared = impl_->database->Run("DELETE FROM month_waters WHERE zone = ? AND month = ?",
                                          {water.zone, int64_t{water.month}});
    if (!cleared.ok()) return cleared;
    const auto added = impl_->database->Insert("month_waters", columns);
    return added.ok() ? Ok() : Status(added.error());
  });
}

Result<std::vector<MonthWater>> Project::MonthWaters() const {
  return impl_->List<MonthWater>("SELECT * FROM month_waters ORDER BY zone, month", {}, ReadMonthWater);
}

Result<TripId> Project::AddTrip(const Trip& trip) {
  const auto* months = std::get_if<Months>(&trip.time);
  if (months != nullptr && (months->bits == 0 || months->bits > kEveryMonth.bits)) {
    return BadInput("a trip needs a month or a day", {"", {}, "months", std::to_string(months->bits)});
  }
  const auto all = Trips();
  if (!all.ok()) return all.error();
  for (const Trip& there : *all) {
    if (there.scope == trip.scope && there.subject == trip.subject && there.time == trip.time &&
        there.why == trip.why) {
      return there.id;
    }
  }
  const auto* day = std::get_if<Date>(&trip.time);
  const auto id = impl_->database->Insert(
      "trips", {{"scope", TextOf(ToText(trip.scope))},
                {"subject", trip.subject},
                {"months", months != nullptr ? Value(int64_t{months->bits}) : Value()},
                {"day", day != nullptr ? DateValue(*day) : Value()},
                {"why", trip.why}});
  if (!id.ok()) return id.error();
  return TripId{*id};
}

Status Project::RemoveTrip(TripId id) {
  const auto there = impl_->database->QueryInt("SELECT id FROM trips WHERE id = ?", {id.number});
  if (!there.ok()) return there.error();
  if (!there->has_value()) {
    return NotFound("there is no such trip", {path(), {}, "trips", std::to_string(id.number)});
  }
  return impl_->database->Run("DELETE FROM trips WHERE id = ?", {id.number});
}

Result<std::vector<Trip>> Project::Trips() const {
  return impl_->List<Trip>("SELECT * FROM trips ORDER BY id", {}, ReadTrip);
}

Status Project::PutPrices(const Prices& prices) {
  Columns columns = {{"id", int64_t{1}}, {"currency", prices.currency}};
  AddSourced(columns, "water_per_m3", prices.water_per_m3, kPlain);
  AddSourced(columns, "visit", prices.visit, kPlain);
  return impl_->database->Upsert("prices", "id", columns);
}

Result<Prices> Project::PricesNow() const {
  auto list = impl_->List<Prices>("SELECT * FROM prices WHERE id = 1", {}, ReadPrices);
  if (!list.ok()) return list.error();
  if (list->empty()) return Prices{};
  return std::move(list->front());
}

}  // namespace lastreach
