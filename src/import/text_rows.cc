#include <cpl_conv.h>
#include <cpl_string.h>
#include <csv.h>

#include <array>

#include "import/cell_words.h"
#include "import/raw_rows.h"

namespace lastreach {
namespace {

std::string Recoded(const std::string& text, const char* from) {
  char* recoded = CPLRecode(text.c_str(), from, CPL_ENC_UTF8);
  std::string result = recoded;
  CPLFree(recoded);
  return result;
}

std::string FromUtf16(const std::string& text, bool big_endian) {
  const auto unit_at = [&](size_t i) {
    const auto low = static_cast<unsigned char>(text[i + (big_endian ? 1 : 0)]);
    const auto high = static_cast<unsigned char>(text[i + (big_endian ? 0 : 1)]);
    return static_cast<unsigned>(high << 8 | low);
  };
  std::vector<wchar_t> wide;
  for (size_t i = 2; i + 1 < text.size(); i += 2) {
    unsigned letter = unit_at(i);
    // Letters beyond 16 bits come in two halves.
    if (letter >= 0xD800 && letter < 0xDC00 && i + 3 < text.size()) {
      letter = 0x10000 + ((letter - 0xD800) << 10) + (unit_at(i + 2) - 0xDC00);
      i += 2;
    }
    wide.push_back(static_cast<wchar_t>(letter));
  }
  wide.push_back(0);
  char* recoded = CPLRecodeFromWChar(wide.data(), "WCHAR_T", CPL_ENC_UTF8);
  std::string result = recoded;
  CPLFree(recoded);
  return result;
}

std::string ToUtf8(const std::string& text, std::vector<std::string>& notes) {
  if (text.substr(0, 3) == "\xEF\xBB\xBF") return text.substr(3);
  if (text.substr(0, 2) == "\xFF\xFE" || text.substr(0, 2) == "\xFE\xFF") {
    notes.emplace_back("the text is UTF-16");
    return FromUtf16(text, text[0] == '\xFE');
  }
  if (CPLIsUTF8(text.c_str(), static_cast<int>(text.size()))) return text;
  notes.emplace_back("the text is not UTF-8 and was read as Windows-1252");
  return Recoded(text, "CP1252");
}

struct Parsed {
  std::vector<TableRow> rows;
  int lines = 0;
};

// What the callbacks of the parser add to.
struct Building {
  TableRow row;
  bool row_ended = false;
};
void OnCell(void* cell, size_t size, void* building) {
  static_cast<Building*>(building)->row.cells.emplace_back(static_cast<const char*>(cell), size);
}
void OnRow(int, void* building) { static_cast<Building*>(building)->row_ended = true; }

Parsed Parse(const std::string& text, char separator) {
  Parsed parsed;
  Building building;
  csv_parser parser;
  csv_init(&parser, CSV_REPALL_NL);
  csv_set_delim(&parser, static_cast<unsigned char>(separator));
  csv_set_space_func(&parser, [](unsigned char) { return 0; });  // blanks belong to the cell
  int line = 1;
  building.row.line = line;
  const auto end_row = [&](int last_line) {
    building.row.last_line = last_line;
    parsed.rows.push_back(std::move(building.row));
    building = {};
  };
  for (size_t i = 0; i < text.size(); ++i) {
    // A carriage return before a line feed would end the row twice.
    if (text[i] == '\r' && i + 1 < text.size() && text[i + 1] == '\n') continue;
    csv_parse(&parser, &text[i], 1, OnCell, OnRow, &building);
    if (building.row_ended) end_row(line);
    if (text[i] == '\n' || text[i] == '\r') {
      ++line;
      if (building.row.cells.empty() && building.row.line == 0) building.row.line = line;
    }
  }
  csv_fini(&parser, OnCell, OnRow, &building);
  if (building.row_ended) end_row(line);
  csv_free(&parser);
  parsed.lines = text.empty() || text.back() == '\n' || text.back() == '\r' ? line - 1 : line;
  for (TableRow& row : parsed.rows) row.last_line = std::min(row.last_line, parsed.lines);
  return parsed;
}

// The separator that most rows agree on: the one whose commonest count of cells, above 1, is had by most
// rows; of equals the one with more cells.
char SeparatorOf(const std::string& text) {
  char best = ',';
  size_t best_score = 0;
  for (const char separator : {',', ';', '\t', '|'}) {
    std::array<size_t, 256> rows_with{};
    for (const TableRow& row : Parse(text.substr(0, 65536), separator).rows) {
      ++rows_with[std::min<size_t>(row.cells.size(), 255)];
    }
    size_t score = 0;
    for (size_t cells = 2; cells < rows_with.size(); ++cells)
      score = std::max(score, rows_with[cells] * (cells + 10));
    if (score > best_score) {
      best = separator;
      best_score = score;
    }
  }
  return best;
}

}  // namespace

bool IsBlank(const TableRow& row) {
  for (const std::string& cell : row.cells) {
    if (!Trimmed(cell).empty()) return false;
  }
  return true;
}

RawRows ReadText(const std::string& original) {
  RawRows raw;
  const std::string text = ToUtf8(original, raw.notes);
  const char separator = SeparatorOf(text);
  if (separator == ';') raw.notes.emplace_back("cells are separated by semicolons");
  if (separator == '\t') raw.notes.emplace_back("cells are separated by tabs");
  if (separator == '|') raw.notes.emplace_back("cells are separated by upright bars");
  Parsed parsed = Parse(text, separator);
  raw.lines = parsed.lines;
  for (TableRow& row : parsed.rows) {
    if (!IsBlank(row)) raw.rows.push_back(std::move(row));
  }
  return raw;
}

}  // namespace lastreach
