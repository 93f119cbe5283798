#pragma once

#include <string>
#include <vector>

#include "core/result.h"
#include "import/fields.h"

namespace lastreach {

// One row that is not blank. A cell with line breaks in it makes a row of several lines.
struct TableRow {
  int line = 0;                    // 1-based, as a text editor or spreadsheet shows it
  int last_line = 0;               // same as `line` in a spreadsheet
  std::vector<std::string> cells;  // as written, but a line break is \n; may be more or fewer than headings
};

// A sheet before anybody has said what it means. Every line of the file is in exactly one of: heading,
// title, blank, rows.
struct Table {
  std::string file;   // as given, to be shown in errors
  std::string sheet;  // name of the sheet of a workbook; empty for text
  int heading_line = 0;
  int heading_last_line = 0;          // the same, unless a heading has a line break in it
  std::vector<std::string> headings;  // without blanks at the ends
  std::vector<int> title_lines;       // above the headings
  std::vector<int> blank_lines;
  std::vector<TableRow> rows;
  int lines = 0;                   // in all
  std::vector<std::string> notes;  // what was found out: separator, text encoding, sheet, titles skipped
};

struct ReadOptions {
  std::string sheet;                  // DEFAULT: the first that is not empty
  std::vector<std::string> headings;  // further words to know the row of headings by, from a columns file
};

// Reads a text table (comma, semicolon or tab; UTF-8, UTF-16 or Windows-1252; quotes as in RFC 4180) or a
// workbook (.xlsx). The row of headings is the one among the first 30 that most looks like headings of
// `kind`. In workbooks a date comes as 2026/07/03, a time as 13:10:00, a formula as its value. ERROR:
// kNotFound if there is no such file or sheet; kBadInput if it is empty or no row of it looks like headings.
Result<Table> ReadTable(const std::string& path, TableKind kind, const ReadOptions& options = {});

// The cells of a row joined by " | ", for lists of what did not come in.
std::string AsWritten(const TableRow& row);

}  // namespace lastreach
