#include "month/month_table.h"

#include <algorithm>
#include <cmath>

namespace lastreach {
namespace {

int64_t PowerOfTen(int exponent) {
  int64_t power = 1;
  for (int i = 0; i < exponent; ++i) power *= 10;
  return power;
}

}  // namespace

double MonthNumber::value() const {
  return static_cast<double>(units) / static_cast<double>(PowerOfTen(decimals));
}

std::string MonthNumber::text() const {
  if (decimals == 0) return std::to_string(units);
  const int64_t power = PowerOfTen(decimals);
  const int64_t size = units < 0 ? -units : units;
  std::string fraction = std::to_string(size % power);
  fraction.insert(0, static_cast<size_t>(decimals) - fraction.size(), '0');
  return (units < 0 ? "-" : "") + std::to_string(size / power) + "." + fraction;
}

std::string MonthNumber::grouped() const {
  std::string grouped = text();
  const size_t point = std::min(grouped.find('.'), grouped.size());
  const size_t first_digit = units < 0 ? 1 : 0;
  for (size_t at = point; at > first_digit + 3;) {
    at -= 3;
    grouped.insert(at, ",");
  }
  return grouped;
}

MonthNumber RoundedTo(double value, int decimals) {
  return {std::llround(value * static_cast<double>(PowerOfTen(decimals))), decimals};
}

int MonthTable::Find(const std::string& column_key) const {
  for (size_t i = 0; i < columns.size(); ++i) {
    if (columns[i].key == column_key) return static_cast<int>(i);
  }
  return -1;
}

std::string CellText(const MonthCell& cell) {
  if (const auto* text = std::get_if<std::string>(&cell)) return *text;
  if (const auto* number = std::get_if<MonthNumber>(&cell)) return number->text();
  return "";
}

}  // namespace lastreach
