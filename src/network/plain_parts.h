#pragma once

#include <optional>
#include <string>
#include <unordered_map>
#include <vector>

#include "core/result.h"
#include "network/csv_table.h"
#include "network/network.h"

// The pieces plain_tables.h is made of: one file a table. Not for other rooms.
namespace lastreach::plain {

using Notes = std::vector<std::string>;
using NodeByName = std::unordered_map<std::string, NodeIndex>;

// What is wrong with one row, and in which column of its table.
struct CellFault {
  std::string column;
  std::string message;
};
std::optional<CellFault> FaultOf(const Node& node);
std::optional<CellFault> FaultOf(const Link& link, HeadLoss head_loss);
std::optional<CellFault> FaultOf(const NodeRun& run);
std::optional<CellFault> FaultOf(const NetworkOptions& options);
std::optional<CellFault> FaultOf(const LinkRule& rule, const Network& network);

Result<std::vector<Node>> ReadNodes(const std::string& path, const std::vector<Pattern>& patterns,
                                    Notes& notes);
Result<std::vector<Link>> ReadLinks(const std::string& path, const NodeByName& nodes, HeadLoss head_loss,
                                    Notes& notes);
Result<std::vector<Pattern>> ReadPatterns(const std::string& path, Notes& notes);
Result<std::vector<NodeRun>> ReadRuns(const std::string& path, const NodeByName& nodes, Notes& notes);
// Of a network that has its nodes and links.
Result<std::vector<LinkRule>> ReadRules(const std::string& path, const NodeByName& nodes,
                                        const Network& network, Notes& notes);
Result<NetworkOptions> ReadOptions(const std::string& path, Notes& notes);

// The text of each file. `demand_m3_per_s` is of each node.
std::string NodesText(const Network& network, const std::vector<double>& demand_m3_per_s);
std::string LinksText(const Network& network);
std::string PatternsText(const Network& network);
std::string RunsText(const Network& network);
std::string RulesText(const Network& network);
std::string OptionsText(const NetworkOptions& options);

// Cells of one row, taken one by one; the first that is no number is the fault of the row.
class PlainRow {
 public:
  PlainRow(const CsvTable& table, size_t row) : table_(table), row_(row) {}

  const std::string& Text(std::string_view column) const { return table_.Cell(row_, column); }
  std::string Needed(std::string_view column);  // not blank
  std::optional<double> Number(std::string_view column, int shift = 0);
  std::optional<Sourced<double>> Typed(std::string_view column, int shift = 0);
  // A sentence if the cell holds something other than 0 that the row has no use for.
  void Unused(std::string_view column, std::string_view kind, Notes& notes) const;
  Error ErrorAt(std::string_view column, std::string message) const;
  void Refuse(const CellFault& fault);
  const std::optional<Error>& error() const { return error_; }

 private:
  const CsvTable& table_;
  size_t row_;
  std::optional<Error> error_;
};

// A table's text: a column is written if it must be or some row has a cell in it.
template <typename Row>
struct WrittenColumn {
  std::string heading;
  bool always = false;
  std::string (*cell)(const Row&);
};
template <typename Row, size_t N>
std::string TableText(const std::vector<Row>& rows, const WrittenColumn<Row> (&columns)[N]) {
  std::vector<const WrittenColumn<Row>*> used;
  for (const auto& column : columns) {
    bool use = column.always;
    for (size_t i = 0; i < rows.size() && !use; ++i) use = !column.cell(rows[i]).empty();
    if (use) used.push_back(&column);
  }
  std::string text;
  for (const auto* column : used) text += (column == used.front() ? "" : ",") + column->heading;
  text += '\n';
  for (const Row& row : rows) {
    for (const auto* column : used) text += (column == used.front() ? "" : ",") + CsvCell(column->cell(row));
    text += '\n';
  }
  return text;
}

}  // namespace lastreach::plain
