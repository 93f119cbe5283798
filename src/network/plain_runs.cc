#include <cmath>

#include "network/decimal.h"
#include "network/plain_parts.h"

namespace lastreach::plain {
namespace {

constexpr std::string_view kPatternColumns[] = {"pattern", "hour", "factor"};
constexpr std::string_view kRunColumns[] = {"node", "start_hour", "minutes"};
constexpr std::string_view kRunOptional[] = {"flow_l_per_s", "orifice_mm", "coefficient"};
constexpr int kMostHours = 24 * 366;  // a year, hour by hour

struct GatheredPattern {
  std::string id;
  std::vector<std::optional<double>> factors;
  size_t last_row = 0;
};

}  // namespace

Result<std::vector<Pattern>> ReadPatterns(const std::string& path, Notes& notes) {
  const Result<CsvTable> table = CsvTable::Read(path, kPatternColumns, {});
  if (!table.ok()) return table.error();
  notes.insert(notes.end(), table->notes().begin(), table->notes().end());
  std::vector<GatheredPattern> gathered;
  std::unordered_map<std::string, size_t> by_name;
  for (size_t i = 0; i < table->size(); ++i) {
    PlainRow row(*table, i);
    const std::string id = row.Needed("pattern");
    row.Needed("hour");
    row.Needed("factor");
    const double hour = row.Number("hour").value_or(0);
    const double factor = row.Number("factor").value_or(0);
    if (row.error()) return *row.error();
    if (hour != std::floor(hour) || hour < 0 || hour >= kMostHours) {
      return row.ErrorAt("hour", "an hour is a whole number from 0");
    }
    if (factor < 0) return row.ErrorAt("factor", "a factor cannot be negative");
    const auto [found, is_new] = by_name.emplace(id, gathered.size());
    if (is_new) gathered.push_back({id, {}, i});
    GatheredPattern& pattern = gathered[found->second];
    const auto index = static_cast<size_t>(hour);
    if (index >= pattern.factors.size()) pattern.factors.resize(index + 1);
    if (pattern.factors[index]) return row.ErrorAt("hour", "this hour of the pattern stands twice");
    pattern.factors[index] = factor;
    pattern.last_row = i;
  }
  std::vector<Pattern> patterns;
  for (const GatheredPattern& from : gathered) {
    Pattern pattern{from.id, {}};
    for (size_t hour = 0; hour < from.factors.size(); ++hour) {
      if (!from.factors[hour]) {
        return PlainRow(*table, from.last_row)
            .ErrorAt("pattern", "hour " + std::to_string(hour) + " of this pattern is missing");
      }
      pattern.factors.push_back(*from.factors[hour]);
    }
    patterns.push_back(std::move(pattern));
  }
  return patterns;
}

std::optional<CellFault> FaultOf(const NodeRun& run) {
  const auto above_zero = [](const std::optional<double>& x) { return x && std::isfinite(*x) && *x > 0; };
  if (!std::isfinite(run.start_hour) || run.start_hour < 0) {
    return CellFault{"start_hour", "a run starts at hour 0 or later"};
  }
  if (!above_zero(run.minutes)) return CellFault{"minutes", "the minutes must be above 0"};
  if (run.flow_m3_per_s && (run.orifice_m || run.coefficient)) {
    return CellFault{"flow_l_per_s", "a run has a flow or an opening, not both"};
  }
  if (run.flow_m3_per_s) {
    if (!above_zero(run.flow_m3_per_s)) return CellFault{"flow_l_per_s", "the flow must be above 0"};
    return {};
  }
  if (!run.orifice_m && !run.coefficient)
    return CellFault{"flow_l_per_s", "a run needs a flow or an opening"};
  if (!above_zero(run.orifice_m)) return CellFault{"orifice_mm", "the opening must be above 0"};
  if (!above_zero(run.coefficient)) return CellFault{"coefficient", "an opening needs a coefficient above 0"};
  return {};
}

Result<std::vector<NodeRun>> ReadRuns(const std::string& path, const NodeByName& nodes, Notes& notes) {
  const Result<CsvTable> table = CsvTable::Read(path, kRunColumns, kRunOptional);
  if (!table.ok()) return table.error();
  notes.insert(notes.end(), table->notes().begin(), table->notes().end());
  std::vector<NodeRun> runs;
  for (size_t i = 0; i < table->size(); ++i) {
    PlainRow row(*table, i);
    NodeRun run;
    const auto found = nodes.find(row.Needed("node"));
    if (found == nodes.end()) {
      row.Refuse({"node", "nodes.csv has no such node"});
    } else {
      run.node = found->second;
    }
    row.Needed("start_hour");
    row.Needed("minutes");
    run.start_hour = row.Number("start_hour").value_or(0);
    run.minutes = row.Number("minutes").value_or(0);
    run.flow_m3_per_s = row.Number("flow_l_per_s", -3);
    run.orifice_m = row.Number("orifice_mm", -3);
    run.coefficient = row.Number("coefficient");
    if (row.error()) return *row.error();
    if (const auto fault = FaultOf(run)) return row.ErrorAt(fault->column, fault->message);
    runs.push_back(run);
  }
  return runs;
}

std::string PatternsText(const Network& network) {
  std::string text = "pattern,hour,factor\n";
  for (const Pattern& pattern : network.patterns) {
    for (size_t hour = 0; hour < pattern.factors.size(); ++hour) {
      text +=
          CsvCell(pattern.id) + "," + std::to_string(hour) + "," + ToDecimal(pattern.factors[hour]) + "\n";
    }
  }
  return text;
}

std::string RunsText(const Network& network) {
  struct Row {
    const NodeRun& run;
    const std::string& node;
  };
  std::vector<Row> rows;
  for (const NodeRun& run : network.runs) rows.push_back({run, network[run.node].id});
  static constexpr auto kOr = [](const std::optional<double>& x, int shift) {
    return x ? ToDecimal(*x, shift) : std::string();
  };
  static const WrittenColumn<Row> kColumns[] = {
      {"node", true, [](const Row& r) { return r.node; }},
      {"start_hour", true, [](const Row& r) { return ToDecimal(r.run.start_hour); }},
      {"minutes", true, [](const Row& r) { return ToDecimal(r.run.minutes); }},
      {"flow_l_per_s", true, [](const Row& r) { return kOr(r.run.flow_m3_per_s, 3); }},
      {"orifice_mm", false, [](const Row& r) { return kOr(r.run.orifice_m, 3); }},
      {"coefficient", false, [](const Row& r) { return kOr(r.run.coefficient, 0); }},
  };
  return TableText(rows, kColumns);
}

}  // namespace lastreach::plain
