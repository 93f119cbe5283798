#include <cmath>
#include <set>

#include "network/decimal.h"
#include "network/plain_parts.h"

namespace lastreach::plain {
namespace {

constexpr std::string_view kRequired[] = {"id", "kind", "from", "to"};
constexpr std::string_view kOptional[] = {"length_m",      "diameter_mm",    "roughness",
                                          "minor_loss",    "shutoff_head_m", "design_flow_l_per_s",
                                          "design_head_m", "setting_m",      "setting_l_per_s",
                                          "bulk_per_day",  "wall_m_per_day"};

int RoughnessShift(HeadLoss head_loss) { return head_loss == HeadLoss::kDarcyWeisbach ? 3 : 0; }

bool IsPressureValve(LinkKind kind) { return kind == LinkKind::kReducing || kind == LinkKind::kSustaining; }

std::optional<double> SettingOf(PlainRow& row, LinkKind kind, Notes& notes) {
  const std::string_view word = ToText(kind);
  const std::optional<double> head_m = row.Number("setting_m");
  const std::optional<double> flow_m3_per_s = row.Number("setting_l_per_s", -3);
  if (!IsPressureValve(kind)) row.Unused("setting_m", word, notes);
  if (kind != LinkKind::kLimiting) row.Unused("setting_l_per_s", word, notes);
  if (IsPressureValve(kind)) return head_m;
  return kind == LinkKind::kLimiting ? flow_m3_per_s : std::nullopt;
}

std::optional<PumpCurve> CurveOf(PlainRow& row, LinkKind kind, Notes& notes) {
  const std::optional<double> shutoff_head_m = row.Number("shutoff_head_m");
  const std::optional<double> flow_m3_per_s = row.Number("design_flow_l_per_s", -3);
  const std::optional<double> head_m = row.Number("design_head_m");
  if (kind != LinkKind::kPump) {
    for (const char* column : {"shutoff_head_m", "design_flow_l_per_s", "design_head_m"}) {
      row.Unused(column, ToText(kind), notes);
    }
    return {};
  }
  for (const char* column : {"shutoff_head_m", "design_flow_l_per_s", "design_head_m"}) {
    if (row.Text(column).empty()) row.Refuse({column, "a pump needs its curve"});
  }
  return PumpCurve{shutoff_head_m.value_or(0), flow_m3_per_s.value_or(0), head_m.value_or(0)};
}

Link LinkOf(PlainRow& row, LinkKind kind, HeadLoss head_loss, Notes& notes) {
  Link link;
  link.kind = kind;
  const bool is_pipe = kind == LinkKind::kPipe || kind == LinkKind::kCheck;
  if (is_pipe) row.Needed("length_m");
  link.length_m = row.Typed("length_m").value_or(Sourced<double>{});
  link.inner_diameter_m = row.Typed("diameter_mm", -3);
  link.roughness = row.Typed("roughness", -RoughnessShift(head_loss));
  link.minor_loss = row.Number("minor_loss").value_or(0);
  link.setting = SettingOf(row, kind, notes);
  link.pump = CurveOf(row, kind, notes);
  link.bulk_per_day = row.Number("bulk_per_day");
  link.wall_m_per_day = row.Number("wall_m_per_day");
  return link;
}

bool AtLeastZero(double value) { return std::isfinite(value) && value >= 0; }
bool AboveZero(double value) { return std::isfinite(value) && value > 0; }

std::optional<CellFault> CurveFault(const PumpCurve& pump) {
  if (!AboveZero(pump.design_flow_m3_per_s)) {
    return CellFault{"design_flow_l_per_s", "the design flow must be above 0"};
  }
  if (!AboveZero(pump.design_head_m)) return CellFault{"design_head_m", "the design head must be above 0"};
  if (!std::isfinite(pump.shutoff_head_m) || !(pump.shutoff_head_m > pump.design_head_m)) {
    return CellFault{"shutoff_head_m", "the head at no flow must be above the design head"};
  }
  return {};
}

}  // namespace

std::optional<CellFault> FaultOf(const Link& link, HeadLoss head_loss) {
  if (link.id.empty()) return CellFault{"id", "this cell must not be blank"};
  if (link.from == link.to) return CellFault{"to", "the link goes from a node to itself"};
  if (!AtLeastZero(link.length_m.value)) return CellFault{"length_m", "a length cannot be negative"};
  if (link.inner_diameter_m && !AboveZero(link.inner_diameter_m->value)) {
    return CellFault{"diameter_mm", "a diameter must be above 0"};
  }
  // A pipe may be smooth, but no C is 0.
  if (link.roughness && !(head_loss == HeadLoss::kDarcyWeisbach ? AtLeastZero(link.roughness->value)
                                                                : AboveZero(link.roughness->value))) {
    return CellFault{"roughness", head_loss == HeadLoss::kDarcyWeisbach ? "a roughness cannot be negative"
                                                                        : "a C must be above 0"};
  }
  if (!AtLeastZero(link.minor_loss)) return CellFault{"minor_loss", "a loss cannot be negative"};
  if (IsPressureValve(link.kind) && !(link.setting && AtLeastZero(*link.setting))) {
    return CellFault{"setting_m", "this valve needs a setting of 0 or more"};
  }
  if (link.kind == LinkKind::kLimiting && !(link.setting && AtLeastZero(*link.setting))) {
    return CellFault{"setting_l_per_s", "this valve needs a setting of 0 or more"};
  }
  if (link.bulk_per_day && !AtLeastZero(*link.bulk_per_day)) {
    return CellFault{"bulk_per_day", "a loss is written as 0 or more"};
  }
  if (link.wall_m_per_day && !AtLeastZero(*link.wall_m_per_day)) {
    return CellFault{"wall_m_per_day", "a loss is written as 0 or more"};
  }
  if (link.kind != LinkKind::kPump) return {};
  if (!link.pump) return CellFault{"shutoff_head_m", "a pump needs its curve"};
  return CurveFault(*link.pump);
}

Result<std::vector<Link>> ReadLinks(const std::string& path, const NodeByName& nodes, HeadLoss head_loss,
                                    Notes& notes) {
  const Result<CsvTable> table = CsvTable::Read(path, kRequired, kOptional);
  if (!table.ok()) return table.error();
  notes.insert(notes.end(), table->notes().begin(), table->notes().end());
  std::set<std::string> ids;
  std::vector<Link> links;
  for (size_t i = 0; i < table->size(); ++i) {
    PlainRow row(*table, i);
    const Result<LinkKind> kind = ParseLinkKind(row.Text("kind"));
    if (!kind.ok()) return row.ErrorAt("kind", kind.error().message);
    Link link = LinkOf(row, *kind, head_loss, notes);
    link.id = row.Needed("id");
    for (const char* end : {"from", "to"}) {
      const std::string name = row.Needed(end);
      const auto found = nodes.find(name);
      if (found == nodes.end()) {
        row.Refuse({end, "nodes.csv has no such node"});
      } else {
        (end == std::string_view("from") ? link.from : link.to) = found->second;
      }
    }
    if (row.error()) return *row.error();
    if (const auto fault = FaultOf(link, head_loss)) return row.ErrorAt(fault->column, fault->message);
    if (!ids.insert(link.id).second) return row.ErrorAt("id", "another link has this id");
    links.push_back(std::move(link));
  }
  return links;
}

std::string LinksText(const Network& network) {
  struct Row {
    const Link& link;
    const Network& network;
  };
  std::vector<Row> rows;
  for (const Link& link : network.links) rows.push_back({link, network});
  static constexpr auto kOr = [](const std::optional<double>& x, int shift = 0) {
    return x ? ToDecimal(*x, shift) : std::string();
  };
  static constexpr auto kValue = [](const std::optional<Sourced<double>>& x, int shift) {
    return x ? ToDecimal(x->value, shift) : std::string();
  };
  static const WrittenColumn<Row> kColumns[] = {
      {"id", true, [](const Row& r) { return r.link.id; }},
      {"kind", true, [](const Row& r) { return std::string(ToText(r.link.kind)); }},
      {"from", true, [](const Row& r) { return r.network[r.link.from].id; }},
      {"to", true, [](const Row& r) { return r.network[r.link.to].id; }},
      {"length_m", true, [](const Row& r) { return ToDecimal(r.link.length_m.value); }},
      {"diameter_mm", true, [](const Row& r) { return kValue(r.link.inner_diameter_m, 3); }},
      {"roughness", true,
       [](const Row& r) { return kValue(r.link.roughness, RoughnessShift(r.network.options.head_loss)); }},
      {"minor_loss", true, [](const Row& r) { return ToDecimal(r.link.minor_loss); }},
      {"shutoff_head_m", false,
       [](const Row& r) { return r.link.pump ? ToDecimal(r.link.pump->shutoff_head_m) : ""; }},
      {"design_flow_l_per_s", false,
       [](const Row& r) { return r.link.pump ? ToDecimal(r.link.pump->design_flow_m3_per_s, 3) : ""; }},
      {"design_head_m", false,
       [](const Row& r) { return r.link.pump ? ToDecimal(r.link.pump->design_head_m) : ""; }},
      {"setting_m", false,
       [](const Row& r) { return IsPressureValve(r.link.kind) ? kOr(r.link.setting) : ""; }},
      {"setting_l_per_s", false,
       [](const Row& r) { return r.link.kind == LinkKind::kLimiting ? kOr(r.link.setting, 3) : ""; }},
      {"bulk_per_day", false, [](const Row& r) { return kOr(r.link.bulk_per_day); }},
      {"wall_m_per_day", false, [](const Row& r) { return kOr(r.link.wall_m_per_day); }},
  };
  return TableText(rows, kColumns);
}

}  // namespace lastreach::plain
