#include "import/warm_weeks.h"

#include <algorithm>
#include <iterator>

namespace lastreach {
namespace {

constexpr int kWeek_days = 7;

using Days = std::map<int, double>;  // by number of the day, the highest reading of it

WarmestOfMonth HighestReading(const Days& days, int readings) {
  const auto warmest = std::max_element(days.begin(), days.end(),
                                        [](const auto& a, const auto& b) { return a.second < b.second; });
  const Date day = DateOfDayNumber(warmest->first);
  const std::string how = readings == 1
                              ? "the one reading, " + FormatDate(day)
                              : "highest of " + std::to_string(readings) + " readings, " + FormatDate(day);
  return {warmest->second, day, day, readings, how};
}

WarmestOfMonth WarmestOfOneYear(const Days& days, int readings) {
  WarmestOfMonth warmest = HighestReading(days, readings);
  bool found = false;
  for (auto first = days.begin(); first != days.end(); ++first) {
    double sum = 0;
    int in_a_row = 0;
    for (auto day = first;
         day != days.end() && day->first == first->first + in_a_row && in_a_row < kWeek_days;
         ++day, ++in_a_row) {
      sum += day->second;
    }
    if (in_a_row < kWeek_days || (found && sum / kWeek_days <= warmest.celsius)) continue;
    found = true;
    const Date from = DateOfDayNumber(first->first);
    const Date to = AddDays(from, kWeek_days - 1);
    warmest = {sum / kWeek_days, from, to, readings,
               "mean of the warmest 7 days, " + FormatDate(from) + " to " + FormatDate(to)};
  }
  return warmest;
}

}  // namespace

std::map<int, WarmestOfMonth> WarmestOf(const std::vector<DayTemperature>& readings) {
  struct OneMonth {
    Days days;
    int readings = 0;
  };
  std::map<std::chrono::year_month, OneMonth> months;
  for (const DayTemperature& reading : readings) {
    OneMonth& month = months[reading.day.year() / reading.day.month()];
    ++month.readings;
    const auto [day, added] = month.days.emplace(DayNumber(reading.day), reading.celsius);
    if (!added) day->second = std::max(day->second, reading.celsius);
  }
  std::map<int, WarmestOfMonth> warmest;
  for (const auto& [year_month, month] : months) {
    const WarmestOfMonth found = WarmestOfOneYear(month.days, month.readings);
    const int number = static_cast<int>(static_cast<unsigned>(year_month.month()));
    const auto [there, added] = warmest.emplace(number, found);
    if (!added && found.celsius > there->second.celsius) there->second = found;
  }
  return warmest;
}

}  // namespace lastreach
