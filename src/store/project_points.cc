// Flush points, their reaches and the forms of their timers.
#include "calendar/settings_json.h"
#include "store/geometry.h"
#include "store/project_impl.h"

namespace lastreach {
namespace {

Result<FlushPoint> ReadPoint(const Row& row) {
  const auto kind = ParsePointKind(row.Text("kind"));
  if (!kind.ok()) return kind.error();
  const auto discharge = ParseDischargeTo(row.Text("discharge"));
  if (!discharge.ok()) return discharge.error();
  auto flow = ReadSourced(row, "flow_l_per_s", kLitresPerSecond);
  if (!flow.ok()) return flow.error();
  FlushPoint point;
  point.code = PointCode(row.Text("code"));
  point.kind = *kind;
  point.place = row.Text("place");
  point.supply_zone = row.Text("supply_zone");
  point.controller = row.Text("controller");
  point.flow = std::move(*flow);
  point.discharge = *discharge;
  point.isolation_valve = row.Text("isolation_valve");
  point.meter = row.Text("meter");
  point.notes = row.Text("notes");
  if (!row.IsNull("geom")) {
    const auto position = ReadPointBlob(row.Bytes("geom"));
    if (!position.ok()) return position.error();
    point.position = *position;
  }
  point.drought_rank = ReadInt(row, "drought_rank");
  point.stays_on = row.Int("stays_on") != 0;
  point.stays_on_because = row.Text("stays_on_because");
  if (!row.IsNull("adjustable_flow")) point.adjustable_flow = row.Int("adjustable_flow") != 0;
  point.meter_turns_over_at = ReadQuantity(row, "meter_turns_over_at_m3", kCubicMetres);
  point.dechlorination = row.Text("dechlorination");
  point.dechlorination_holds_kg = ReadReal(row, "dechlorination_holds_kg");
  return point;
}

// A GIS zooms to the extent a layer claims, so it must not be smaller than the layer.
Status GrowExtent(Database& database, const Position& at) {
  return database.Run(
      "UPDATE gpkg_contents SET min_x = min(coalesce(min_x, ?1), ?1), max_x = max(coalesce(max_x, ?1), ?1), "
      "min_y = min(coalesce(min_y, ?2), ?2), max_y = max(coalesce(max_y, ?2), ?2), "
      "last_change = strftime('%Y-%m-%dT%H:%M:%fZ','now') WHERE table_name = 'flush_points'",
      {at.longitude_deg, at.latitude_deg});
}

constexpr auto kCount = std::pair([](double x) { return static_cast<int>(x); },
                                  [](int count) { return static_cast<double>(count); });

Status InsertPipe(Database& database, const PointCode& point, int64_t position, const ReachPipe& pipe) {
  Columns columns = {{"point", point.text()}, {"position", position}, {"material", pipe.material}};
  AddSourced(columns, "length_m", std::optional(pipe.length), kMetres);
  AddSourced(columns, "inner_diameter_mm", std::optional(pipe.inner_diameter), kMillimetres);
  AddSourced(columns, "services", std::optional(pipe.services), kCount);
  AddSourced(columns, "demand_l_per_s", pipe.demand, kLitresPerSecond);
  const auto added = database.Insert("reach_pipes", columns);
  return added.ok() ? Ok() : Status(added.error());
}

Result<ReachPipe> ReadPipe(const Row& row) {
  const auto length = ReadSourced(row, "length_m", kMetres);
  if (!length.ok()) return length.error();
  const auto diameter = ReadSourced(row, "inner_diameter_mm", kMillimetres);
  if (!diameter.ok()) return diameter.error();
  const auto services = ReadSourced(row, "services", kCount);
  if (!services.ok()) return services.error();
  const auto demand = ReadSourced(row, "demand_l_per_s", kLitresPerSecond);
  if (!demand.ok()) return demand.error();
  ReachPipe pipe;
  if (*length) pipe.length = **length;
  if (*diameter) pipe.inner_diameter = **diameter;
  pipe.material = row.Text("material");
  if (*services) pipe.services = **services;
  pipe.demand = *demand;
  return pipe;
}

Result<Reach> ReadReach(const Row& row) {
  auto residual = ReadSourced(row, "upstream_residual_mg_per_l", kMilligramsPerLitre);
  if (!residual.ok()) return residual.error();
  return Reach{PointCode(row.Text("point")), {}, std::move(*residual)};
}

Result<ControllerForm> ReadForm(const Row& row) {
  auto form = ParseForm(row.Text("form"), "");
  if (!form.ok()) return form.error();
  form->name = row.Text("name");
  return form;
}

}  // namespace

Status Project::PutFlushPoint(const FlushPoint& point) {
  if (point.code.empty()) return BadInput("a flush point needs a code", {"", {}, "code", ""});
  Columns columns = {
      {"geom", point.position ? Value(PointBlob(*point.position)) : Value()},
      {"code", point.code.text()},
      {"kind", TextOf(ToText(point.kind))},
      {"place", point.place},
      {"supply_zone", point.supply_zone},
      {"controller", point.controller},
      {"discharge", TextOf(ToText(point.discharge))},
      {"isolation_valve", point.isolation_valve},
      {"meter", point.meter},
      {"notes", point.notes},
      {"drought_rank", IntValue(point.drought_rank)},
      {"stays_on", int64_t{point.stays_on}},
      {"stays_on_because", point.stays_on_because},
      {"adjustable_flow", point.adjustable_flow ? Value(int64_t{*point.adjustable_flow}) : Value()},
      {"meter_turns_over_at_m3", NumberValue(point.meter_turns_over_at, kCubicMetres)},
      {"dechlorination", point.dechlorination},
      {"dechlorination_holds_kg", RealValue(point.dechlorination_holds_kg)}};
  AddSourced(columns, "flow_l_per_s", point.flow, kLitresPerSecond);
  return InTransaction([&]() -> Status {
    if (Status put = impl_->database->Upsert("flush_points", "code", columns); !put.ok()) return put;
    return point.position ? GrowExtent(*impl_->database, *point.position) : Ok();
  });
}

Result<std::vector<FlushPoint>> Project::FlushPoints() const {
  return impl_->List<FlushPoint>("SELECT * FROM flush_points ORDER BY code", {}, ReadPoint);
}

Result<FlushPoint> Project::FindFlushPoint(const PointCode& code) const {
  if (Status known = impl_->RequirePoint(code); !known.ok()) return known.error();
  auto found = impl_->List<FlushPoint>("SELECT * FROM flush_points WHERE code = ?", {code.text()}, ReadPoint);
  if (!found.ok()) return found.error();
  return std::move(found->front());
}

Status Project::PutReach(const Reach& reach) {
  if (Status known = impl_->RequirePoint(reach.point); !known.ok()) return known;
  Columns columns = {{"point", reach.point.text()}};
  AddSourced(columns, "upstream_residual_mg_per_l", reach.upstream_residual, kMilligramsPerLitre);
  return InTransaction([&]() -> Status {
    Database& database = *impl_->database;
    if (Status put = database.Upsert("reaches", "point", columns); !put.ok()) return put;
    Status cleared = database.Run("DELETE FROM reach_pipes WHERE point = ?", {reach.point.text()});
    if (!cleared.ok()) return cleared;
    int64_t position = 0;
    for (const ReachPipe& pipe : reach.pipes) {
      Status added = InsertPipe(database, reach.point, ++position, pipe);
      if (!added.ok()) return added;
    }
    return Ok();
  });
}

Result<std::vector<Reach>> Project::Reaches() const {
  auto reaches = impl_->List<Reach>("SELECT * FROM reaches ORDER BY point", {}, ReadReach);
  if (!reaches.ok()) return reaches.error();
  for (Reach& reach : *reaches) {
    auto pipes = impl_->List<ReachPipe>("SELECT * FROM reach_pipes WHERE point = ? ORDER BY position",
                                        {reach.point.text()}, ReadPipe);
    if (!pipes.ok()) return pipes.error();
    reach.pipes = std::move(*pipes);
  }
  return reaches;
}

Result<std::optional<Reach>> Project::ReachOf(const PointCode& code) const {
  auto found = impl_->List<Reach>("SELECT * FROM reaches WHERE point = ?", {code.text()}, ReadReach);
  if (!found.ok()) return found.error();
  if (found->empty()) return std::optional<Reach>();
  auto pipes = impl_->List<ReachPipe>("SELECT * FROM reach_pipes WHERE point = ? ORDER BY position",
                                      {code.text()}, ReadPipe);
  if (!pipes.ok()) return pipes.error();
  found->front().pipes = std::move(*pipes);
  return std::optional<Reach>(std::move(found->front()));
}

Status Project::PutControllerForm(const ControllerForm& form) {
  if (form.name.empty()) return BadInput("a controller form needs a name", {"", {}, "name", ""});
  if (Status sound = Validate(form); !sound.ok()) return sound;
  return impl_->database->Upsert("controller_forms", "name",
                                 {{"name", form.name}, {"form", FormToJson(form)}});
}

Result<std::vector<ControllerForm>> Project::ControllerForms() const {
  return impl_->List<ControllerForm>("SELECT * FROM controller_forms ORDER BY name", {}, ReadForm);
}

}  // namespace lastreach
