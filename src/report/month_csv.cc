#include "report/month_csv.h"

#include <algorithm>

#include "core/civil_time.h"
#include "report/page.h"

namespace lastreach {
namespace {

std::string RowAsCsv(const std::vector<MonthCell>& row) {
  std::string line;
  for (size_t i = 0; i < row.size(); ++i) line += (i > 0 ? "," : "") + MonthCellAsCsv(row[i], {});
  return line + "\n";
}

}  // namespace

std::string DelimitedCell(const std::string& text, char separator) {
  const bool plain = text.find(separator) == std::string::npos &&
                     text.find_first_of("\"\r\n") == std::string::npos && !text.starts_with(' ') &&
                     !text.ends_with(' ');
  if (plain) return text;
  std::string quoted = "\"";
  for (const char c : text) quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
  return quoted + "\"";
}

std::string DateAs(const std::string& text, CsvManner::Dates dates) {
  if (dates == CsvManner::Dates::kYearMonthDay || !ParseDate(text).ok()) return text;
  const std::string year = text.substr(0, 4), month = text.substr(5, 2), day = text.substr(8, 2);
  if (dates == CsvManner::Dates::kMonthDayYear) return month + "/" + day + "/" + year;
  return day + "." + month + "." + year;
}

std::string MonthCellAsCsv(const MonthCell& cell, const CsvManner& manner) {
  std::string text = CellText(cell);
  if (std::holds_alternative<MonthNumber>(cell)) {
    std::replace(text.begin(), text.end(), '.', manner.decimal_point);
  } else {
    text = DateAs(text, manner.dates);
  }
  return DelimitedCell(text, manner.separator);
}

std::string MonthTableAsCsv(const MonthTable& table) {
  std::vector<MonthCell> keys;
  for (const MonthColumn& column : table.columns) keys.emplace_back(column.key);
  std::string text = RowAsCsv(keys);
  for (const auto& row : table.rows) text += RowAsCsv(row);
  if (!table.total.empty()) text += RowAsCsv(table.total);
  return text;
}

Status WriteMonthCsvs(const MonthBook& book, const std::string& folder, std::vector<std::string>& files) {
  for (const MonthTable& table : book.tables) {
    if (table.rows.empty()) continue;
    std::string name = "month-" + book.month + "-" + table.key + ".csv";
    std::replace(name.begin(), name.end(), '_', '-');
    if (const Status written = WriteWhole(folder + "/" + name, MonthTableAsCsv(table)); !written.ok()) {
      return written;
    }
    files.push_back(name);
  }
  return Ok();
}

}  // namespace lastreach
