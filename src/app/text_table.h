#pragma once

#include <string>
#include <vector>

namespace lastreach {

// Rows of cells in columns as wide as their widest cell, two spaces before each row; the last cell runs free.
std::string TextTable(const std::vector<std::vector<std::string>>& rows);

// At most so many letters, with ".." for what was cut off. Counts letters, not bytes of UTF-8.
std::string Shortened(const std::string& text, size_t most);

// Two digits, as good as lengths, volumes and days are known here, and no power of ten: "0.43", "7.8", "180".
std::string TwoFigures(double value);

}  // namespace lastreach
