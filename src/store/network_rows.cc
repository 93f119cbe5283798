#include "store/network_rows.h"

#include "store/geometry.h"

namespace lastreach {
namespace {

// Stored: never change the words.
constexpr const char* kHazenWilliamsWord = "hazen-williams";
constexpr const char* kDarcyWeisbachWord = "darcy-weisbach";

void AddExact(Columns& columns, const std::string& name, const Sourced<double>* sourced) {
  columns.emplace_back(name, sourced != nullptr ? Value(sourced->value) : Value());
  AddOrigin(columns, name, sourced != nullptr ? &sourced->origin : nullptr);
}
void AddExact(Columns& columns, const std::string& name, const std::optional<Sourced<double>>& sourced) {
  AddExact(columns, name, sourced ? &*sourced : nullptr);
}

// Files of before version 5 say nothing of mixing.
Status ReadTank(const Row& row, Node& node) {
  if (row.IsNull("tank_diameter_m")) return Ok();
  node.tank = TankShape{row.Number("tank_diameter_m"), row.Number("tank_level_m"),
                        row.Number("tank_min_level_m"), row.Number("tank_max_level_m"), TankMixing::kMixed};
  if (row.IsNull("tank_mixing")) return Ok();
  const auto mixing = ParseTankMixing(row.Text("tank_mixing"));
  if (!mixing.ok()) return mixing.error();
  node.tank->mixing = *mixing;
  return Ok();
}

Status ReadSourcedNumbers(const Row& row, Link& link) {
  auto length = ReadSourced(row, "length_m", kPlain);
  if (!length.ok()) return length.error();
  if (!*length) return BadInput("the link has no length", {"", {}, "length_m", ""});
  auto diameter = ReadSourced(row, "inner_diameter_m", kPlain);
  if (!diameter.ok()) return diameter.error();
  auto roughness = ReadSourced(row, "roughness", kPlain);
  if (!roughness.ok()) return roughness.error();
  link.length_m = std::move(**length);
  link.inner_diameter_m = std::move(*diameter);
  link.roughness = std::move(*roughness);
  return Ok();
}

Status ReadEnds(const Row& row, const IndexOfId<NodeIndex>& nodes, Link& link) {
  const auto from = nodes.Find(row.Text("from_node"));
  if (!from.ok()) return from.error();
  const auto to = nodes.Find(row.Text("to_node"));
  if (!to.ok()) return to.error();
  link.from = *from;
  link.to = *to;
  if (row.IsNull("geom")) return Ok();
  auto line = ReadLineBlob(row.Bytes("geom"));
  if (!line.ok()) return BadInput(line.error().message, {"", {}, "id", row.Text("id")});
  link.line = std::move(*line);
  return Ok();
}

}  // namespace

Columns NodeColumns(const Node& node) {
  const auto tank = [&](double TankShape::*part) { return node.tank ? Value((*node.tank).*part) : Value(); };
  Columns columns = {{"geom", node.at ? Value(PointBlob(*node.at)) : Value()},
                     {"id", node.id},
                     {"kind", TextOf(ToText(node.kind))},
                     {"demand_m3_per_s", node.demand_m3_per_s},
                     {"head_m", RealValue(node.head_m)},
                     {"pattern", node.pattern},
                     {"tank_diameter_m", tank(&TankShape::diameter_m)},
                     {"tank_level_m", tank(&TankShape::level_m)},
                     {"tank_min_level_m", tank(&TankShape::min_level_m)},
                     {"tank_max_level_m", tank(&TankShape::max_level_m)},
                     {"tank_mixing", node.tank ? Value(TextOf(ToText(node.tank->mixing))) : Value()},
                     {"leak_orifice_m", node.leak ? Value(node.leak->orifice_m) : Value()},
                     {"leak_coefficient", node.leak ? Value(node.leak->coefficient) : Value()},
                     {"chlorine_mg_per_l", RealValue(node.chlorine_mg_per_l)},
                     {"x_m", node.xy_m ? Value(node.xy_m->first) : Value()},
                     {"y_m", node.xy_m ? Value(node.xy_m->second) : Value()},
                     {"zone", node.zone},
                     {"has_hydrant", int64_t{node.has_hydrant}},
                     {"has_blow_off", int64_t{node.has_blow_off}}};
  AddExact(columns, "elevation_m", node.elevation_m);
  return columns;
}

Result<Node> ReadNode(const Row& row) {
  Node node;
  node.id = row.Text("id");
  const auto kind = ParseNodeKind(row.Text("kind"));
  if (!kind.ok()) return kind.error();
  node.kind = *kind;
  auto elevation = ReadSourced(row, "elevation_m", kPlain);
  if (!elevation.ok()) return elevation.error();
  node.elevation_m = std::move(*elevation);
  node.demand_m3_per_s = row.Number("demand_m3_per_s");
  node.head_m = ReadReal(row, "head_m");
  node.pattern = row.Text("pattern");
  if (Status tank = ReadTank(row, node); !tank.ok()) return tank.error();
  if (!row.IsNull("leak_orifice_m")) {
    node.leak = Leak{row.Number("leak_orifice_m"), row.Number("leak_coefficient")};
  }
  node.chlorine_mg_per_l = ReadReal(row, "chlorine_mg_per_l");
  if (!row.IsNull("geom")) {
    const auto at = ReadPointBlob(row.Bytes("geom"));
    if (!at.ok()) return BadInput(at.error().message, {"", {}, "id", node.id});
    node.at = *at;
  }
  if (!row.IsNull("x_m")) node.xy_m = {row.Number("x_m"), row.Number("y_m")};
  node.zone = row.Text("zone");
  node.has_hydrant = row.Int("has_hydrant") != 0;
  node.has_blow_off = row.Int("has_blow_off") != 0;
  return node;
}

Result<Columns> LinkColumns(const Link& link, const std::string& from, const std::string& to) {
  if (link.line.size() == 1) return BadInput("a link's line needs two points", {"", {}, "id", link.id});
  const auto pump = [&](double PumpCurve::*part) { return link.pump ? Value((*link.pump).*part) : Value(); };
  const bool flow_setting = link.kind == LinkKind::kLimiting;
  Columns columns = {{"geom", link.line.empty() ? Value() : Value(LineBlob(link.line))},
                     {"id", link.id},
                     {"kind", TextOf(ToText(link.kind))},
                     {"from_node", from},
                     {"to_node", to},
                     {"minor_loss", link.minor_loss},
                     {"shutoff_head_m", pump(&PumpCurve::shutoff_head_m)},
                     {"design_flow_m3_per_s", pump(&PumpCurve::design_flow_m3_per_s)},
                     {"design_head_m", pump(&PumpCurve::design_head_m)},
                     {flow_setting ? "setting_m3_per_s" : "setting_m", RealValue(link.setting)},
                     {flow_setting ? "setting_m" : "setting_m3_per_s", Value()},
                     {"bulk_per_day", RealValue(link.bulk_per_day)},
                     {"wall_m_per_day", RealValue(link.wall_m_per_day)},
                     {"material", link.material},
                     {"material_assumed", int64_t{link.material_assumed}},
                     {"year_laid", IntValue(link.year_laid)},
                     {"street", link.street},
                     {"zone", link.zone},
                     {"layer", link.main ? Value(link.main->layer) : Value()},
                     {"feature", link.main ? Value(link.main->key) : Value()},
                     {"main_from_m", link.main_from_m},
                     {"main_to_m", link.main_to_m}};
  AddExact(columns, "length_m", &link.length_m);
  AddExact(columns, "inner_diameter_m", link.inner_diameter_m);
  AddExact(columns, "roughness", link.roughness);
  return columns;
}

Result<Link> ReadLink(const Row& row, const IndexOfId<NodeIndex>& nodes) {
  Link link;
  link.id = row.Text("id");
  const auto kind = ParseLinkKind(row.Text("kind"));
  if (!kind.ok()) return kind.error();
  link.kind = *kind;
  if (Status ends = ReadEnds(row, nodes, link); !ends.ok()) return ends.error();
  if (Status numbers = ReadSourcedNumbers(row, link); !numbers.ok()) return numbers.error();
  link.minor_loss = row.Number("minor_loss");
  if (!row.IsNull("shutoff_head_m")) {
    link.pump = PumpCurve{row.Number("shutoff_head_m"), row.Number("design_flow_m3_per_s"),
                          row.Number("design_head_m")};
  }
  link.setting = ReadReal(row, link.kind == LinkKind::kLimiting ? "setting_m3_per_s" : "setting_m");
  link.bulk_per_day = ReadReal(row, "bulk_per_day");
  link.wall_m_per_day = ReadReal(row, "wall_m_per_day");
  link.material = row.Text("material");
  link.material_assumed = row.Int("material_assumed") != 0;
  link.year_laid = ReadInt(row, "year_laid");
  link.street = row.Text("street");
  link.zone = row.Text("zone");
  if (!row.IsNull("layer")) link.main = FeatureKey{row.Text("layer"), row.Text("feature")};
  link.main_from_m = row.Number("main_from_m");
  link.main_to_m = row.Number("main_to_m");
  return link;
}

Columns OptionColumns(const NetworkOptions& options) {
  const bool hazen_williams = options.head_loss == HeadLoss::kHazenWilliams;
  const auto pressure = [&](double ShortPressure::*part) {
    return options.short_pressure ? Value((*options.short_pressure).*part) : Value();
  };
  return {{"head_loss", std::string(hazen_williams ? kHazenWilliamsWord : kDarcyWeisbachWord)},
          {"hazen_williams_constant", options.hazen_williams_constant},
          {"viscosity_m2_per_s", options.viscosity_m2_per_s},
          {"bulk_per_day", options.bulk_per_day},
          {"wall_m_per_day", options.wall_m_per_day},
          {"diffusivity_m2_per_s", options.diffusivity_m2_per_s},
          {"temperature_c", options.temperature_c},
          {"short_pressure_none_below_m", pressure(&ShortPressure::none_below_m)},
          {"short_pressure_full_above_m", pressure(&ShortPressure::full_above_m)}};
}

Result<NetworkOptions> ReadOptions(const Row& row) {
  const std::string word = row.Text("head_loss");
  if (word != kHazenWilliamsWord && word != kDarcyWeisbachWord) {
    return BadInput("the head loss is hazen-williams or darcy-weisbach", {"", {}, "head_loss", word});
  }
  NetworkOptions options;
  options.head_loss = word == kHazenWilliamsWord ? HeadLoss::kHazenWilliams : HeadLoss::kDarcyWeisbach;
  options.hazen_williams_constant = row.Number("hazen_williams_constant");
  options.viscosity_m2_per_s = row.Number("viscosity_m2_per_s");
  options.bulk_per_day = row.Number("bulk_per_day");
  options.wall_m_per_day = row.Number("wall_m_per_day");
  options.diffusivity_m2_per_s = row.Number("diffusivity_m2_per_s");
  options.temperature_c = row.Number("temperature_c");
  if (!row.IsNull("short_pressure_none_below_m")) {
    options.short_pressure =
        ShortPressure{row.Number("short_pressure_none_below_m"), row.Number("short_pressure_full_above_m")};
  }
  return options;
}

}  // namespace lastreach
