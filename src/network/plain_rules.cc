#include <cmath>

#include "network/decimal.h"
#include "network/plain_parts.h"

namespace lastreach::plain {
namespace {

constexpr std::string_view kColumns[] = {"link", "action"};
constexpr std::string_view kOptional[] = {"tank", "falls_to_m", "rises_to_m", "at_hour"};
constexpr double kHoursADay = 24;

std::string ColumnOfLevel(const LinkRule& rule) { return rule.falls_to_m ? "falls_to_m" : "rises_to_m"; }

}  // namespace

std::optional<CellFault> FaultOf(const LinkRule& rule, const Network& network) {
  if (IsShut(network[rule.link])) return CellFault{"link", "a link of kind closed has no rules"};
  const int conditions = rule.falls_to_m.has_value() + rule.rises_to_m.has_value() + rule.at_hour.has_value();
  if (conditions != 1) {
    return CellFault{"falls_to_m", "a rule needs one of falls_to_m, rises_to_m and at_hour, and no more"};
  }
  if (rule.at_hour) {
    if (rule.tank) return CellFault{"tank", "a rule by hour has no use for a tank"};
    if (*rule.at_hour >= 0 && *rule.at_hour <= kHoursADay) return {};
    return CellFault{"at_hour", "an hour of the day is between 0 and 24"};
  }
  if (!rule.tank) return CellFault{"tank", "a rule by level needs the tank whose level it is"};
  const Node& node = network[*rule.tank];
  if (node.kind != NodeKind::kTank || !node.tank) return CellFault{"tank", "this is no tank with levels"};
  const double level_m = rule.falls_to_m ? *rule.falls_to_m : *rule.rises_to_m;
  if (level_m >= node.tank->min_level_m && level_m <= node.tank->max_level_m) return {};
  return CellFault{ColumnOfLevel(rule), "the level must lie between the tank's lowest and highest"};
}

Result<std::vector<LinkRule>> ReadRules(const std::string& path, const NodeByName& nodes,
                                        const Network& network, Notes& notes) {
  const Result<CsvTable> table = CsvTable::Read(path, kColumns, kOptional);
  if (!table.ok()) return table.error();
  notes.insert(notes.end(), table->notes().begin(), table->notes().end());
  std::unordered_map<std::string, LinkIndex> links;
  for (size_t i = 0; i < network.links.size(); ++i) links.emplace(network.links[i].id, LinkIndex(i));
  std::vector<LinkRule> rules;
  for (size_t i = 0; i < table->size(); ++i) {
    PlainRow row(*table, i);
    LinkRule rule;
    const auto link = links.find(row.Needed("link"));
    if (link == links.end()) {
      row.Refuse({"link", "links.csv has no such link"});
    } else {
      rule.link = link->second;
    }
    if (const Result<bool> opens = ParseAction(row.Text("action")); opens.ok()) {
      rule.opens = *opens;
    } else {
      row.Refuse({"action", opens.error().message});
    }
    if (const std::string& name = row.Text("tank"); !name.empty()) {
      const auto tank = nodes.find(name);
      if (tank == nodes.end()) {
        row.Refuse({"tank", "nodes.csv has no such node"});
      } else {
        rule.tank = tank->second;
      }
    }
    rule.falls_to_m = row.Number("falls_to_m");
    rule.rises_to_m = row.Number("rises_to_m");
    rule.at_hour = row.Number("at_hour");
    if (row.error()) return *row.error();
    if (const auto fault = FaultOf(rule, network)) return row.ErrorAt(fault->column, fault->message);
    rules.push_back(rule);
  }
  return rules;
}

std::string RulesText(const Network& network) {
  struct Row {
    const LinkRule& rule;
    const Network& network;
  };
  std::vector<Row> rows;
  for (const LinkRule& rule : network.rules) rows.push_back({rule, network});
  static constexpr auto kOr = [](const std::optional<double>& x) {
    return x ? ToDecimal(*x) : std::string();
  };
  static const WrittenColumn<Row> kWritten[] = {
      {"link", true, [](const Row& r) { return r.network[r.rule.link].id; }},
      {"action", true, [](const Row& r) { return std::string(ActionText(r.rule)); }},
      {"tank", true, [](const Row& r) { return r.rule.tank ? r.network[*r.rule.tank].id : ""; }},
      {"falls_to_m", true, [](const Row& r) { return kOr(r.rule.falls_to_m); }},
      {"rises_to_m", true, [](const Row& r) { return kOr(r.rule.rises_to_m); }},
      {"at_hour", true, [](const Row& r) { return kOr(r.rule.at_hour); }},
  };
  return TableText(rows, kWritten);
}

}  // namespace lastreach::plain
