#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "core/result.h"

namespace lastreach {

// What a column's separators mean where one cell alone does not tell: is "1,200" twelve hundred or 1.2?
enum class DecimalMark { kPoint, kComma };

// kComma if some cell has a comma that can only be a decimal one ("0,4", "12,75") and none has such a point.
DecimalMark DecimalMarkOf(const std::vector<std::string>& cells);

struct ParsedNumber {
  double value = 0;
  bool about = false;  // "about 300", "~300", "300?", "300 est."
  std::string rest;    // what follows the number, trimmed: a unit, or a letter with a meaning
};

// A number as people write it: "1,200", "1 200", "1'200", "1.200,5", "0,4", ".5", "300.", "1 1/2", "2.5E+3",
// with or without words for "about". ERROR: kBadInput unless it begins so.
Result<ParsedNumber> ParseNumber(std::string_view text, DecimalMark mark = DecimalMark::kPoint);

// A whole number, nothing behind it, at least 0 ("12", "12.0", "about 12"). ERROR: kBadInput otherwise.
Result<ParsedNumber> ParseCount(std::string_view text);

}  // namespace lastreach
