#pragma once

#include <string>
#include <vector>

#include "core/result.h"
#include "month/month_tables.h"

namespace lastreach {

// How cells are told apart and how numbers and dates are written.
struct CsvManner {
  char separator = ',';
  char decimal_point = '.';
  enum class Dates { kYearMonthDay, kMonthDayYear, kDayMonthYear } dates = Dates::kYearMonthDay;
};

// A cell as it must stand in such a file: in quotes where it would not read back equal without (RFC 4180).
std::string DelimitedCell(const std::string& text, char separator);

// "2026-08-03", "08/03/2026" or "03.08.2026"; any other text is returned as it is.
std::string DateAs(const std::string& text, CsvManner::Dates dates);

// A number, date or text as the manner has it, ready to stand between separators.
std::string MonthCellAsCsv(const MonthCell& cell, const CsvManner& manner);

// One table: its keys as the row of headings, its rows, and its total as the last row where it has one.
std::string MonthTableAsCsv(const MonthTable& table);

// One file a table, "month-2026-08-water.csv"; tables without rows are left out. Adds the names to `files`.
// ERROR: kBadInput if one cannot be written.
Status WriteMonthCsvs(const MonthBook& book, const std::string& folder, std::vector<std::string>& files);

}  // namespace lastreach
