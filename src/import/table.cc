#include "import/table.h"

#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>

#include "import/cell_words.h"
#include "import/heading_match.h"
#include "import/raw_rows.h"

namespace lastreach {
namespace {

constexpr size_t kRowsSearched = 30;

// Zero bytes end a text early for most programs, and would lose the rest of it here. In UTF-16, which says so
// by its first two bytes, only a zero of two bytes is one.
bool HoldsNoText(const std::string& text) {
  const bool wide = text.substr(0, 2) == "\xFF\xFE" || text.substr(0, 2) == "\xFE\xFF";
  if (!wide) return text.find('\0') != std::string::npos;
  for (size_t i = 0; i + 1 < text.size(); i += 2) {
    if (text[i] == '\0' && text[i + 1] == '\0') return true;
  }
  return false;
}

Result<RawRows> ReadRaw(const std::string& path, const ReadOptions& options) {
  if (!std::filesystem::is_regular_file(path)) return NotFound("there is no such file", {path, {}, "", ""});
  std::ifstream file(path, std::ios::binary);
  std::stringstream content;
  content << file.rdbuf();
  if (!file) return BadInput("the file is empty or cannot be read", {path, {}, "", ""});
  const std::string text = content.str();
  // A workbook is a zip archive, whatever its name says.
  if (text.substr(0, 4) == "PK\x03\x04") return ReadWorkbook(path, options.sheet);
  if (text.substr(0, 4) == "\xD0\xCF\x11\xE0") {
    return BadInput("this is a workbook of the old binary kind; save it as .xlsx or .csv",
                    {path, {}, "", ""});
  }
  if (HoldsNoText(text)) return BadInput("the file is not text and not a workbook", {path, {}, "", ""});
  if (!options.sheet.empty()) return BadRequest("'" + path + "' is text and has no sheets to choose from");
  return ReadText(text);
}

// How many cells look like headings of that kind.
double HeadingScore(const TableRow& row, TableKind kind, const std::set<std::string>& typed) {
  double score = 0;
  for (const std::string& cell : row.cells) {
    const std::string plain = Plainly(cell);
    if (plain.empty()) continue;
    score += typed.count(plain) > 0 ? 1 : BestMatch(cell, kind);
  }
  return score;
}

std::string List(const std::vector<int>& numbers) {
  std::string text;
  for (const int number : numbers) text += (text.empty() ? "" : ", ") + std::to_string(number);
  return text;
}

}  // namespace

std::string AsWritten(const TableRow& row) {
  std::string text;
  for (size_t i = 0; i < row.cells.size(); ++i) text += (i == 0 ? "" : " | ") + row.cells[i];
  return text;
}

Result<Table> ReadTable(const std::string& path, TableKind kind, const ReadOptions& options) {
  auto raw = ReadRaw(path, options);
  if (!raw.ok()) return raw.error();
  if (raw->rows.empty()) return BadInput("the table is empty", {path, {}, "", ""});
  std::set<std::string> typed;
  for (const std::string& heading : options.headings) typed.insert(Plainly(heading));
  size_t best_row = 0;
  double best_score = 0;
  for (size_t i = 0; i < std::min(kRowsSearched, raw->rows.size()); ++i) {
    const double score = HeadingScore(raw->rows[i], kind, typed);
    if (score > best_score) {
      best_score = score;
      best_row = i;
    }
    // Most of the row are headings: the rows of numbers below need not be looked through.
    if (best_score >= 3 && best_score >= 0.6 * static_cast<double>(raw->rows[best_row].cells.size())) break;
  }
  // One word that happens to be a heading is no row of headings, unless the table has one column.
  if (best_score < (raw->rows[best_row].cells.size() == 1 ? 0.8 : 1.5)) {
    return BadInput("no row of headings for a sheet of " + std::string(ToText(kind)) + " was found",
                    {path, raw->rows[0].line, "", AsWritten(raw->rows[0])});
  }
  Table table;
  table.file = path;
  table.sheet = raw->sheet;
  table.lines = raw->lines;
  table.notes = std::move(raw->notes);
  std::vector<bool> filled(static_cast<size_t>(raw->lines) + 2);
  for (size_t i = 0; i < raw->rows.size(); ++i) {
    TableRow& row = raw->rows[i];
    for (int line = row.line; line <= row.last_line; ++line) filled[static_cast<size_t>(line)] = true;
    if (i < best_row) {
      for (int line = row.line; line <= row.last_line; ++line) table.title_lines.push_back(line);
    } else if (i == best_row) {
      table.heading_line = row.line;
      table.heading_last_line = row.last_line;
      for (const std::string& cell : row.cells) table.headings.push_back(Trimmed(cell));
    } else {
      table.rows.push_back(std::move(row));
    }
  }
  for (int line = 1; line <= table.lines; ++line) {
    if (!filled[static_cast<size_t>(line)]) table.blank_lines.push_back(line);
  }
  while (!table.headings.empty() && table.headings.back().empty()) table.headings.pop_back();
  if (!table.title_lines.empty()) {
    table.notes.push_back("headings are in line " + std::to_string(table.heading_line) +
                          "; above them line " + List(table.title_lines) + " was skipped");
  }
  return table;
}

}  // namespace lastreach
