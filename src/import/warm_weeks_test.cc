#include "import/warm_weeks.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <optional>

namespace lastreach {
namespace {

using std::chrono::year;
using testing::HasSubstr;

Date Day(int y, unsigned m, unsigned d) { return year(y) / std::chrono::month(m) / std::chrono::day(d); }

TEST(WarmestOf, IsTheMeanOfTheWarmestSevenDaysInARow) {
  std::vector<DayTemperature> july;
  for (unsigned d = 1; d <= 31; ++d) july.push_back({Day(2026, 7, d), d >= 10 && d <= 16 ? 26.0 : 20.0});
  july[20].celsius = 31;  // one hot reading does not make a week
  const WarmestOfMonth warmest = WarmestOf(july).at(7);
  EXPECT_DOUBLE_EQ(warmest.celsius, 26);
  EXPECT_EQ(warmest.from, Day(2026, 7, 10));
  EXPECT_EQ(warmest.to, Day(2026, 7, 16));
  EXPECT_EQ(warmest.how, "mean of the warmest 7 days, 2026-07-10 to 2026-07-16");
}

TEST(WarmestOf, IsTheHighestReadingWhereNoSevenDaysAreInARow) {
  const auto months = WarmestOf(
      {{Day(2026, 7, 1), 21}, {Day(2026, 7, 15), 24.5}, {Day(2026, 7, 30), 23}, {Day(2026, 8, 3), 25}});
  ASSERT_EQ(months.size(), 2U);
  EXPECT_DOUBLE_EQ(months.at(7).celsius, 24.5);
  EXPECT_EQ(months.at(7).how, "highest of 3 readings, 2026-07-15");
  EXPECT_EQ(months.at(8).how, "the one reading, 2026-08-03");
}

TEST(WarmestOf, DoesNotReachIntoTheNextMonth) {
  std::vector<DayTemperature> readings;
  for (unsigned d = 26; d <= 31; ++d) readings.push_back({Day(2026, 7, d), 25});
  for (unsigned d = 1; d <= 6; ++d) readings.push_back({Day(2026, 8, d), 26});
  EXPECT_THAT(WarmestOf(readings).at(7).how, HasSubstr("highest of 6 readings"));
}

TEST(WarmestOf, OfTheYearsTakesTheWarmest) {
  const auto months = WarmestOf({{Day(2024, 7, 9), 24}, {Day(2025, 7, 9), 26}, {Day(2026, 7, 9), 25}});
  EXPECT_DOUBLE_EQ(months.at(7).celsius, 26);
  EXPECT_EQ(months.at(7).from, Day(2025, 7, 9));
}

// The slow oracle: every stretch of seven days of every month, one after the other.
std::optional<double> SlowWarmest(const std::vector<DayTemperature>& readings, unsigned month) {
  std::optional<double> warmest;
  for (int y = 2024; y <= 2026; ++y) {
    const auto highest_on = [&](unsigned d) {
      std::optional<double> highest;
      for (const DayTemperature& r : readings) {
        if (r.day == Day(y, month, d)) highest = std::max(highest.value_or(r.celsius), r.celsius);
      }
      return highest;
    };
    std::optional<double> of_year;
    bool a_week = false;
    for (unsigned first = 1; first + 6 <= 31; ++first) {
      double sum = 0;
      bool whole = true;
      for (unsigned d = first; d < first + 7; ++d) {
        whole = whole && highest_on(d);
        sum += highest_on(d).value_or(0);
      }
      if (!whole) continue;
      of_year = std::max(a_week ? *of_year : sum / 7, sum / 7);
      a_week = true;
    }
    for (unsigned d = 1; !a_week && d <= 31; ++d) {
      if (const auto t = highest_on(d)) of_year = std::max(of_year.value_or(*t), *t);
    }
    if (of_year) warmest = std::max(warmest.value_or(*of_year), *of_year);
  }
  return warmest;
}

RC_GTEST_PROP(WarmestOf, AgreesWithTryingEveryWeek, ()) {
  std::vector<DayTemperature> readings;
  const int count = *rc::gen::inRange(1, 120);
  for (int i = 0; i < count; ++i) {
    readings.push_back({Day(2024 + *rc::gen::inRange(0, 2), static_cast<unsigned>(*rc::gen::inRange(7, 9)),
                            static_cast<unsigned>(*rc::gen::inRange(1, 16))),
                        *rc::gen::inRange(100, 300) / 10.0});
  }
  const auto months = WarmestOf(readings);
  for (unsigned month = 6; month <= 9; ++month) {
    const auto slow = SlowWarmest(readings, month);
    const auto fast = months.find(static_cast<int>(month));
    RC_ASSERT(slow.has_value() == (fast != months.end()));
    if (slow) RC_ASSERT(std::abs(*slow - fast->second.celsius) < 1e-9);
  }
}

}  // namespace
}  // namespace lastreach
