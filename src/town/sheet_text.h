#pragma once

#include <string>
#include <vector>

#include "core/result.h"

namespace lastreach {

using SheetRow = std::vector<std::string>;

// Rows as comma-separated text: cells with a comma, a quote or a line break are quoted, quotes doubled.
// SOURCE: RFC 4180, but for the line end, which is `line_end`.
std::string CsvText(const std::vector<SheetRow>& rows, const char* line_end = "\n");

// A number with `decimals` digits after the point.
std::string Digits(double value, int decimals);

// Makes or replaces a file. ERROR: kBadInput naming it if it cannot be written.
Status WriteText(const std::string& path, const std::string& text);

}  // namespace lastreach
