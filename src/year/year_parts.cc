#include "year/year_parts.h"

#include <algorithm>

#include "core/civil_time.h"

namespace lastreach {
namespace {

constexpr const char* kMonthNames[] = {"January", "February", "March",     "April",   "May",      "June",
                                       "July",    "August",   "September", "October", "November", "December"};

// The season a month lies in; the month is that of the north.
const char* SeasonName(int month) {
  if (month == 4 || month == 5) return "spring";
  if (month >= 6 && month <= 9) return "summer";
  if (month == 10 || month == 11) return "autumn";
  return "winter";
}

bool BeginsSeason(int month) { return month == 4 || month == 6 || month == 10 || month == 12; }

int InTheNorth(int month, bool south) { return south ? (month + 5) % 12 + 1 : month; }

std::string NameOf(const YearPart& part, YearDivision division, bool south) {
  const std::string first = kMonthNames[part.months.front() - 1];
  const std::string last = kMonthNames[part.months.back() - 1];
  const std::string year = std::to_string(static_cast<int>(AddDays(part.days.to, -1).year()));
  const std::string months = (part.months.size() > 1 ? first + " to " + last : first) + " " + year;
  if (division == YearDivision::kMonths) return months;
  return std::string(SeasonName(InTheNorth(part.months.front(), south))) + ", " + months;
}

}  // namespace

int YearPart::length_days() const { return DayNumber(days.to) - DayNumber(days.from); }

std::vector<YearPart> PartsOfYear(Date from, YearDivision division, bool south, const std::set<int>& cuts) {
  std::chrono::year_month month = from.year() / from.month();
  if (from.day() != std::chrono::day(1)) month += std::chrono::months(1);
  const auto number = [](std::chrono::year_month m) {
    return static_cast<int>(static_cast<unsigned>(m.month()));
  };
  const auto begins = [&](std::chrono::year_month m) {
    return division == YearDivision::kMonths || BeginsSeason(InTheNorth(number(m), south));
  };
  while (!begins(month)) month += std::chrono::months(1);
  std::vector<YearPart> parts;
  for (int i = 0; i < 12; ++i, month += std::chrono::months(1)) {
    if (begins(month) || cuts.contains(number(month)))
      parts.push_back({"", {month / std::chrono::day(1), {}}, {}});
    parts.back().months.push_back(number(month));
    parts.back().days.to = (month + std::chrono::months(1)) / std::chrono::day(1);
  }
  for (YearPart& part : parts) part.name = NameOf(part, division, south);
  return parts;
}

bool LiesIn(const YearPart& part, const std::set<int>& months) {
  return std::all_of(part.months.begin(), part.months.end(), [&](int m) { return months.contains(m); });
}

std::set<int> CutsAt(const std::set<int>& months) {
  std::set<int> cuts;
  for (int month = 1; month <= 12; ++month) {
    const int before = (month + 10) % 12 + 1;
    if (months.contains(month) != months.contains(before)) cuts.insert(month);
  }
  return cuts;
}

}  // namespace lastreach
