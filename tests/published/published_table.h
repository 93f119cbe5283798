#pragma once

#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "network/csv_table.h"
#include "network/decimal.h"

namespace lastreach {

// A number as printed, and half of its last digit.
struct Printed {
  double value = 0;
  double half_digit = 0;
};

inline std::optional<Printed> ReadPrinted(const std::string& text) {
  const std::optional<double> value = ParseDecimal(text);
  if (!value) return {};
  const std::size_t exponent = text.find_first_of("eE");
  const std::string digits = text.substr(0, exponent);
  const std::size_t point = digits.find('.');
  const double places = point == std::string::npos ? 0 : static_cast<double>(digits.size() - point - 1);
  const double power = exponent == std::string::npos ? 0 : std::stod(text.substr(exponent + 1));
  return Printed{*value, 0.5 * std::pow(10, power - places)};
}

// The rows of data/published/`file`, by column; blank cells are left out.
using PublishedRow = std::map<std::string, Printed, std::less<>>;

inline std::vector<PublishedRow> ReadPublished(const std::string& file,
                                               const std::vector<std::string_view>& columns) {
  const auto table = CsvTable::Read("data/published/" + file, columns, {});
  EXPECT_TRUE(table.ok()) << file;
  std::vector<PublishedRow> rows(table.ok() ? table->size() : 0);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    for (const std::string_view column : columns) {
      if (const auto printed = ReadPrinted(table->Cell(i, column))) {
        rows[i].emplace(std::string(column), *printed);
      }
    }
  }
  EXPECT_FALSE(rows.empty()) << file;
  return rows;
}

}  // namespace lastreach
