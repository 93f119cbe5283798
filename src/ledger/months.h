#pragma once

#include <string>
#include <string_view>

namespace lastreach {

// Months are numbers from 1, January, to 12, December.
std::string_view MonthWord(int month);  // "January"; REQUIRES: 1 to 12

// Whether `month` is among those from `from` to `to`, both taken in; to < from reaches over the new year.
bool IsMonthWithin(int month, int from, int to);

// Some months of the year. Bit 0 is January.
struct Months {
  unsigned bits = 0;
  bool Has(int month) const { return ((bits >> static_cast<unsigned>(month - 1)) & 1U) != 0; }
  friend bool operator==(const Months&, const Months&) = default;
};
inline constexpr Months kEveryMonth{0xFFF};

std::string Describe(Months months);  // "every month", "March and September"; "no month" for none

}  // namespace lastreach
