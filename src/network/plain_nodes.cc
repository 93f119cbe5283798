#include <cmath>
#include <set>

#include "network/decimal.h"
#include "network/plain_parts.h"

namespace lastreach::plain {
namespace {

constexpr std::string_view kRequired[] = {"id", "kind"};
constexpr std::string_view kOptional[] = {
    "elevation_m",      "demand_l_per_s",    "head_m",      "pattern", "diameter_m",
    "level_m",          "min_level_m",       "max_level_m", "mixing",  "leak_orifice_mm",
    "leak_coefficient", "chlorine_mg_per_l", "x_m",         "y_m"};
constexpr std::string_view kTankColumns[] = {"diameter_m", "level_m", "min_level_m", "max_level_m"};

// A tank's four numbers go together: all, or none where a head is given instead.
std::optional<TankShape> ShapeOf(PlainRow& row) {
  TankShape shape;
  double* const values[] = {&shape.diameter_m, &shape.level_m, &shape.min_level_m, &shape.max_level_m};
  bool any = false;
  for (const std::string_view column : kTankColumns) any = any || !row.Text(column).empty();
  if (!any && !row.Text("head_m").empty()) return {};
  for (size_t i = 0; i < 4; ++i) {
    row.Needed(kTankColumns[i]);
    *values[i] = row.Number(kTankColumns[i]).value_or(0);
  }
  if (row.Text("mixing").empty()) return shape;
  const Result<TankMixing> mixing = ParseTankMixing(row.Text("mixing"));
  if (mixing.ok()) {
    shape.mixing = *mixing;
  } else {
    row.Refuse({"mixing", mixing.error().message});
  }
  return shape;
}

// A hole of no width is none.
std::optional<Leak> LeakOf(PlainRow& row) {
  const std::optional<double> orifice_m = row.Number("leak_orifice_mm", -3);
  const std::optional<double> coefficient = row.Number("leak_coefficient");
  if (!orifice_m || *orifice_m == 0) {
    if (coefficient) row.Refuse({"leak_orifice_mm", "a leak needs the width of its hole"});
    return {};
  }
  Leak leak;
  leak.orifice_m = *orifice_m;
  if (coefficient) leak.coefficient = *coefficient;
  return leak;
}

Node NodeOf(PlainRow& row, NodeKind kind, Notes& notes) {
  const std::string_view word = ToText(kind);
  Node node;
  node.kind = kind;
  node.elevation_m = row.Typed("elevation_m");
  node.demand_m3_per_s = row.Number("demand_l_per_s", -3).value_or(0);
  node.pattern = row.Text("pattern");
  const std::optional<double> head_m = row.Number("head_m");
  const std::optional<double> chlorine = row.Number("chlorine_mg_per_l");
  if (kind == NodeKind::kTank) node.tank = ShapeOf(row);
  if (!node.tank) row.Unused("mixing", node.kind == NodeKind::kTank ? "tank of fixed head" : word, notes);
  if (kind != NodeKind::kTank) {
    for (const std::string_view column : kTankColumns) row.Unused(column, word, notes);
  }
  if (kind == NodeKind::kJunction) {
    node.leak = LeakOf(row);
  } else {
    for (const char* column : {"leak_orifice_mm", "leak_coefficient"}) row.Unused(column, word, notes);
  }
  if (kind == NodeKind::kJunction || node.tank) {
    row.Unused("head_m", word, notes);
  } else {
    node.head_m = head_m;
  }
  if (kind == NodeKind::kSource) {
    node.chlorine_mg_per_l = chlorine;
  } else {
    row.Unused("chlorine_mg_per_l", word, notes);
  }
  const std::optional<double> x_m = row.Number("x_m");
  const std::optional<double> y_m = row.Number("y_m");
  if (x_m.has_value() != y_m.has_value()) row.Refuse({x_m ? "y_m" : "x_m", "x_m and y_m go together"});
  if (x_m && y_m) node.xy_m = {*x_m, *y_m};
  return node;
}

std::string TankCell(const Node& node, double TankShape::*part) {
  return node.tank ? ToDecimal((*node.tank).*part) : "";
}

}  // namespace

std::optional<CellFault> FaultOf(const Node& node) {
  const auto bad = [](double value) { return !std::isfinite(value); };
  if (node.id.empty()) return CellFault{"id", "this cell must not be blank"};
  if (node.elevation_m && bad(node.elevation_m->value))
    return CellFault{"elevation_m", "this is not a number"};
  if (bad(node.demand_m3_per_s)) return CellFault{"demand_l_per_s", "this is not a number"};
  if (node.leak && node.kind != NodeKind::kJunction) {
    return CellFault{"leak_orifice_mm", "only a junction leaks"};
  }
  if (node.leak && !(node.leak->orifice_m > 0 && !bad(node.leak->orifice_m))) {
    return CellFault{"leak_orifice_mm", "the hole of a leak must be above 0"};
  }
  if (node.leak && !(node.leak->coefficient > 0 && !bad(node.leak->coefficient))) {
    return CellFault{"leak_coefficient", "the coefficient of a leak must be above 0"};
  }
  if (node.leak && !node.elevation_m) {
    return CellFault{"elevation_m", "a leak needs the elevation that its pressure counts from"};
  }
  if (node.kind == NodeKind::kSource && (!node.head_m || bad(*node.head_m))) {
    return CellFault{"head_m", "a source needs a head"};
  }
  if (node.chlorine_mg_per_l && !(*node.chlorine_mg_per_l >= 0 && !bad(*node.chlorine_mg_per_l))) {
    return CellFault{"chlorine_mg_per_l", "a concentration cannot be negative"};
  }
  if (node.xy_m && (bad(node.xy_m->first) || bad(node.xy_m->second))) {
    return CellFault{"x_m", "this is not a number"};
  }
  if (node.kind != NodeKind::kTank) return {};
  if (!node.tank) {
    if (node.head_m && !bad(*node.head_m)) return {};
    return CellFault{"diameter_m", "a tank needs diameter and levels, or a head"};
  }
  const TankShape& tank = *node.tank;
  if (!node.elevation_m) return CellFault{"elevation_m", "a tank needs the elevation its levels stand on"};
  if (!(tank.diameter_m > 0) || bad(tank.diameter_m)) {
    return CellFault{"diameter_m", "a tank's diameter must be above 0"};
  }
  if (!(tank.max_level_m > tank.min_level_m) || bad(tank.max_level_m) || bad(tank.min_level_m)) {
    return CellFault{"max_level_m", "the highest level must be above the lowest"};
  }
  if (!(tank.level_m >= tank.min_level_m && tank.level_m <= tank.max_level_m)) {
    return CellFault{"level_m", "the level must lie between the lowest and the highest"};
  }
  return {};
}

Result<std::vector<Node>> ReadNodes(const std::string& path, const std::vector<Pattern>& patterns,
                                    Notes& notes) {
  const Result<CsvTable> table = CsvTable::Read(path, kRequired, kOptional);
  if (!table.ok()) return table.error();
  notes.insert(notes.end(), table->notes().begin(), table->notes().end());
  std::set<std::string, std::less<>> defined;
  for (const Pattern& pattern : patterns) defined.insert(pattern.id);
  std::set<std::string> ids;
  std::vector<Node> nodes;
  for (size_t i = 0; i < table->size(); ++i) {
    PlainRow row(*table, i);
    const Result<NodeKind> kind = ParseNodeKind(row.Text("kind"));
    if (!kind.ok()) return row.ErrorAt("kind", kind.error().message);
    Node node = NodeOf(row, *kind, notes);
    node.id = row.Needed("id");
    if (row.error()) return *row.error();
    if (const auto fault = FaultOf(node)) return row.ErrorAt(fault->column, fault->message);
    if (!ids.insert(node.id).second) return row.ErrorAt("id", "another node has this id");
    if (!node.pattern.empty() && !defined.contains(node.pattern)) {
      return row.ErrorAt("pattern", "patterns.csv has no such pattern");
    }
    nodes.push_back(std::move(node));
  }
  if (nodes.empty()) return BadInput("the network has no node", {path, {}, "", ""});
  return nodes;
}

std::string NodesText(const Network& network, const std::vector<double>& demand_m3_per_s) {
  struct Row {
    const Node& node;
    double demand_m3_per_s;
  };
  std::vector<Row> rows;
  for (size_t i = 0; i < network.nodes.size(); ++i) rows.push_back({network.nodes[i], demand_m3_per_s[i]});
  static constexpr auto kOr = [](const std::optional<double>& x) {
    return x ? ToDecimal(*x) : std::string();
  };
  static const WrittenColumn<Row> kColumns[] = {
      {"id", true, [](const Row& r) { return r.node.id; }},
      {"kind", true, [](const Row& r) { return std::string(ToText(r.node.kind)); }},
      {"elevation_m", true,
       [](const Row& r) { return r.node.elevation_m ? ToDecimal(r.node.elevation_m->value) : ""; }},
      {"demand_l_per_s", true, [](const Row& r) { return ToDecimal(r.demand_m3_per_s, 3); }},
      {"head_m", true, [](const Row& r) { return kOr(r.node.head_m); }},
      {"pattern", true, [](const Row& r) { return r.node.pattern; }},
      {"diameter_m", false, [](const Row& r) { return TankCell(r.node, &TankShape::diameter_m); }},
      {"level_m", false, [](const Row& r) { return TankCell(r.node, &TankShape::level_m); }},
      {"min_level_m", false, [](const Row& r) { return TankCell(r.node, &TankShape::min_level_m); }},
      {"max_level_m", false, [](const Row& r) { return TankCell(r.node, &TankShape::max_level_m); }},
      {"mixing", false,
       [](const Row& r) {
         const bool is_mixed = !r.node.tank || r.node.tank->mixing == TankMixing::kMixed;
         return is_mixed ? std::string() : std::string(ToText(r.node.tank->mixing));
       }},
      {"leak_orifice_mm", false,
       [](const Row& r) { return r.node.leak ? ToDecimal(r.node.leak->orifice_m, 3) : ""; }},
      {"leak_coefficient", false,
       [](const Row& r) { return r.node.leak ? ToDecimal(r.node.leak->coefficient) : ""; }},
      {"chlorine_mg_per_l", false, [](const Row& r) { return kOr(r.node.chlorine_mg_per_l); }},
      {"x_m", false, [](const Row& r) { return r.node.xy_m ? ToDecimal(r.node.xy_m->first) : ""; }},
      {"y_m", false, [](const Row& r) { return r.node.xy_m ? ToDecimal(r.node.xy_m->second) : ""; }},
  };
  return TableText(rows, kColumns);
}

}  // namespace lastreach::plain
