#include "network/csv_table.h"

#include <csv.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace lastreach {
namespace {

constexpr const char* kUtf8Mark = "\xEF\xBB\xBF";

Result<std::string> TextOf(const std::string& path) {
  if (!std::filesystem::is_regular_file(path)) return NotFound("there is no such file", {path, {}, "", ""});
  std::ifstream file(path, std::ios::binary);
  std::stringstream content;
  // An empty file sets a fault on the stream it is poured into, not on itself.
  content << file.rdbuf();
  if (!file) return BadInput("the file cannot be read", {path, {}, "", ""});
  std::string text = content.str();
  if (text.starts_with(kUtf8Mark)) text.erase(0, 3);
  if (text.find('\0') != std::string::npos) {
    return BadInput("the file is not text; save it as comma-separated UTF-8", {path, {}, "", ""});
  }
  return text;
}

// What the callbacks of the parser add to.
struct Building {
  std::vector<std::string> cells;
  bool ended = false;
};
void OnCell(void* cell, size_t size, void* building) {
  static_cast<Building*>(building)->cells.emplace_back(static_cast<const char*>(cell), size);
}
void OnRow(int, void* building) { static_cast<Building*>(building)->ended = true; }

bool IsBlank(const std::vector<std::string>& cells) {
  return std::all_of(cells.begin(), cells.end(), [](const std::string& cell) { return cell.empty(); });
}

}  // namespace

Result<std::vector<CsvTable::Row>> CsvTable::Rows(const std::string& path) {
  const Result<std::string> text = TextOf(path);
  if (!text.ok()) return text.error();
  std::vector<Row> rows;
  Building building;
  csv_parser parser;
  csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI);
  int line = 1;
  int first_line = 1;
  bool sound = true;
  const auto take = [&] {
    if (!building.ended) return;
    if (!IsBlank(building.cells)) rows.push_back({first_line, std::move(building.cells)});
    building = {};
    first_line = line;
  };
  // A byte at a time, because the parser does not say on which line it is.
  for (const char& byte : *text) {
    sound = csv_parse(&parser, &byte, 1, OnCell, OnRow, &building) == 1;
    if (!sound) break;
    if (byte == '\n' || (byte == '\r' && *(&byte + 1) != '\n')) ++line;
    const bool between = building.ended || building.cells.empty();
    take();
    // Line ends between rows are passed over by the parser without a word.
    if (between && (byte == '\n' || byte == '\r')) first_line = line;
  }
  if (sound) sound = csv_fini(&parser, OnCell, OnRow, &building) == 0;
  csv_free(&parser);
  if (!sound) {
    return BadInput("a quotation mark is out of place in the row that begins here",
                    {path, first_line, "", ""});
  }
  take();
  return rows;
}

Result<CsvTable> CsvTable::Read(const std::string& path, std::span<const std::string_view> required,
                                std::span<const std::string_view> optional) {
  Result<std::vector<Row>> rows = Rows(path);
  if (!rows.ok()) return rows.error();
  if (rows->empty()) return BadInput("the file is empty; a row of headings is wanted", {path, {}, "", ""});
  CsvTable table;
  table.file_ = path;
  const Row& headings = rows->front();
  for (size_t i = 0; i < headings.cells.size(); ++i) {
    const std::string& name = headings.cells[i];
    if (name.empty()) continue;
    if (!table.columns_.emplace(name, i).second) {
      return BadInput("this heading stands twice", {path, headings.line, name, ""});
    }
    const auto is_it = [&](std::string_view known) { return known == name; };
    if (std::none_of(required.begin(), required.end(), is_it) &&
        std::none_of(optional.begin(), optional.end(), is_it)) {
      table.notes_.push_back(path + ": the column " + name + " is not one of this table and was not read");
    }
  }
  for (const std::string_view name : required) {
    if (!table.columns_.contains(name)) {
      return BadInput("there is no column " + std::string(name), {path, headings.line, "", ""});
    }
  }
  for (size_t i = 1; i < rows->size(); ++i) {
    const Row& row = (*rows)[i];
    for (size_t cell = 0; cell < row.cells.size(); ++cell) {
      const bool headed = cell < headings.cells.size() && !headings.cells[cell].empty();
      if (!headed && !row.cells[cell].empty()) {
        return BadInput("this cell has no heading above it", {path, row.line, "", row.cells[cell]});
      }
    }
  }
  table.rows_.assign(std::make_move_iterator(rows->begin() + 1), std::make_move_iterator(rows->end()));
  return table;
}

const std::string& CsvTable::Cell(size_t row, std::string_view column) const {
  static const std::string blank;
  const auto found = columns_.find(column);
  if (found == columns_.end() || found->second >= rows_[row].cells.size()) return blank;
  return rows_[row].cells[found->second];
}

Place CsvTable::PlaceOf(size_t row, std::string_view column) const {
  return {file_, rows_[row].line, std::string(column), Cell(row, column)};
}

std::string CsvCell(const std::string& text) {
  const bool blank_at_end =
      !text.empty() && (text.find_first_of(" \t") == 0 || text.find_last_of(" \t") == text.size() - 1);
  if (!blank_at_end && text.find_first_of(",\"\r\n") == std::string::npos) return text;
  std::string quoted = "\"";
  for (const char c : text) quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
  return quoted + "\"";
}

}  // namespace lastreach
