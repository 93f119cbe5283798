#pragma once

#include <cstdint>
#include <string>
#include <variant>
#include <vector>

namespace lastreach {

// A number as it is printed: `units` of the last of `decimals` places, so that every output shows the same
// digits. 1234 with 1 decimal is 123.4.
struct MonthNumber {
  int64_t units = 0;
  int decimals = 0;
  double value() const;
  std::string text() const;     // "123.4", "-0.05"
  std::string grouped() const;  // with thousands set apart: "12,345.6"
  friend bool operator==(const MonthNumber&, const MonthNumber&) = default;
};

// `value` to so many decimals, half away from zero. REQUIRES: finite.
MonthNumber RoundedTo(double value, int decimals);

// Empty where nobody knows.
using MonthCell = std::variant<std::monostate, std::string, MonthNumber>;

struct MonthColumn {
  std::string key;      // of JSON, and what a template calls it; carries its unit: "volume_gal"
  std::string heading;  // for people: "Volume (gal)"
  bool is_number = false;
};

// One table of the month's account. A total of a column is the sum of the cells printed above it.
struct MonthTable {
  std::string key;    // "water"
  std::string title;  // "Water by point"
  std::vector<MonthColumn> columns;
  std::vector<std::vector<MonthCell>> rows;  // one cell for each column
  std::vector<MonthCell> total;              // empty where the table has none

  int Find(const std::string& column_key) const;  // -1 if it has no such column
};

// The cell as plain text: numbers without thousands separators, empty for nothing.
std::string CellText(const MonthCell& cell);

}  // namespace lastreach
