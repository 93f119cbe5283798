#include "app/text_table.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>

namespace lastreach {
namespace {

bool BeginsALetter(char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }

size_t LettersOf(const std::string& text) {
  return static_cast<size_t>(std::count_if(text.begin(), text.end(), BeginsALetter));
}

}  // namespace

std::string TextTable(const std::vector<std::vector<std::string>>& rows) {
  std::vector<size_t> widths;
  for (const auto& row : rows) {
    widths.resize(std::max(widths.size(), row.size()));
    for (size_t i = 0; i < row.size(); ++i) widths[i] = std::max(widths[i], LettersOf(row[i]));
  }
  std::string text;
  for (const auto& row : rows) {
    text += " ";
    for (size_t i = 0; i < row.size(); ++i) {
      text += " " + row[i];
      if (i + 1 < row.size()) text.append(widths[i] - LettersOf(row[i]), ' ');
    }
    text += "\n";
  }
  return text;
}

std::string Shortened(const std::string& text, size_t most) {
  if (LettersOf(text) <= most) return text;
  size_t letters = 0;
  size_t end = 0;
  while (end < text.size() && (letters + 2 < most || !BeginsALetter(text[end]))) {
    letters += BeginsALetter(text[end]) ? 1 : 0;
    ++end;
  }
  return text.substr(0, end) + "..";
}

std::string TwoFigures(double value) {
  if (!(std::abs(value) > 0)) return "0";
  char text[64];
  std::snprintf(text, sizeof text, "%.1e", value);
  const double rounded = std::strtod(text, nullptr);  // 9.96 has become 10
  const int digits = static_cast<int>(std::floor(std::log10(std::abs(rounded)) + 1e-9));
  std::snprintf(text, sizeof text, "%.*f", std::clamp(1 - digits, 0, 3), rounded);
  return text;
}

}  // namespace lastreach
