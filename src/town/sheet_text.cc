#include "town/sheet_text.h"

#include <cstdio>
#include <fstream>

namespace lastreach {
namespace {

std::string Quoted(const std::string& cell) {
  if (cell.find_first_of(",\"\r\n") == std::string::npos) return cell;
  std::string quoted = "\"";
  for (const char c : cell) {
    if (c == '"') quoted += '"';
    quoted += c;
  }
  return quoted + "\"";
}

}  // namespace

std::string CsvText(const std::vector<SheetRow>& rows, const char* line_end) {
  std::string text;
  for (const SheetRow& row : rows) {
    for (size_t i = 0; i < row.size(); ++i) {
      if (i > 0) text += ',';
      text += Quoted(row[i]);
    }
    text += line_end;
  }
  return text;
}

std::string Digits(double value, int decimals) {
  char buffer[64];
  std::snprintf(buffer, sizeof buffer, "%.*f", decimals, value);
  return buffer;
}

Status WriteText(const std::string& path, const std::string& text) {
  std::ofstream file(path, std::ios::binary);
  file << text;
  file.close();
  if (!file) return BadInput("the file cannot be written", {path, {}, "", ""});
  return Ok();
}

}  // namespace lastreach
