// RFC 5545, section 3.8.5.3: the recurrence examples that a timer can be keyed to, as printed there, from
// data/published/rfc5545_expansions.csv. A timer whose clock follows the change is a calendar in local time,
// so it must run on the RFC's dates at the RFC's times, to the minute.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <sstream>
#include <utility>

#include "calendar/runs.h"

namespace lastreach {
namespace {

struct Example {
  std::string rule;
  Date first, last;
  std::vector<int> starts_min;
  std::string days;
  size_t runs = 0;
  std::vector<std::string> dates;  // all, or only the last
};

std::vector<std::string> Words(const std::string& text) {
  std::istringstream stream(text);
  std::vector<std::string> words;
  for (std::string word; stream >> word;) words.push_back(word);
  return words;
}

std::vector<std::string> Cells(const std::string& line) {
  std::vector<std::string> cells(1);
  bool quoted = false;
  for (const char c : line) {
    if (c == '"') {
      quoted = !quoted;
    } else if (c == ',' && !quoted) {
      cells.emplace_back();
    } else {
      cells.back() += c;
    }
  }
  return cells;
}

std::vector<Example> Examples() {
  std::ifstream file("data/published/rfc5545_expansions.csv");
  std::vector<Example> examples;
  bool header_passed = false;
  for (std::string line; std::getline(file, line);) {
    if (line.starts_with('#')) continue;
    const std::vector<std::string> cells = Cells(line);
    if (!std::exchange(header_passed, true)) continue;
    Example example{cells.at(0), *ParseDate(cells.at(1)), *ParseDate(cells.at(2)), {}, cells.at(4), 0, {}};
    for (const std::string& start : Words(cells.at(3))) example.starts_min.push_back(*ParseTimeOfDay(start));
    example.runs = std::stoul(cells.at(5));
    example.dates = Words(cells.at(6));
    examples.push_back(std::move(example));
  }
  return examples;
}

TimerSettings KeyedTo(const Example& example) {
  TimerSettings settings;
  const std::vector<std::string> words = Words(example.days);
  if (words.front() != "every") {
    Weekdays days;
    for (const char day : words.front()) days.bits |= 1U << (day - '1');
    settings.programmes.push_back({example.starts_min, 5, days, {}});
    return settings;
  }
  for (size_t i = 3; i < words.size(); ++i) {
    settings.programmes.push_back(
        {example.starts_min, 5, EveryNDays{std::stoi(words[1]), *ParseDate(words[i])}, {}});
  }
  return settings;
}

const Zone& NewYork() {
  static const Zone zone = *Zone::Find("America/New_York");
  return zone;
}

std::vector<lastreach::Run> RunsOf(const Example& example) {
  return ExpandRuns({}, KeyedTo(example), NewYork(), {example.first, AddDays(example.last, 1)},
                    {.follows_clock_change = true});
}

TEST(Rfc5545, SeventeenExamplesAreThere) { EXPECT_EQ(Examples().size(), 17u); }

TEST(Rfc5545, EveryExampleRunsOnItsPrintedDatesAtItsLocalTimes) {
  for (const Example& example : Examples()) {
    SCOPED_TRACE(example.rule);
    const auto runs = RunsOf(example);
    EXPECT_EQ(runs.size(), example.runs);
    std::vector<std::string> dates;
    for (const lastreach::Run& run : runs) {
      const LocalTime local = NewYork().ToLocal(Instant(run.start));
      const std::string text = FormatLocal(local);
      if (dates.empty() || dates.back() != text.substr(0, 10)) dates.push_back(text.substr(0, 10));
      EXPECT_THAT(example.starts_min, testing::Contains(*ParseTimeOfDay(text.substr(11)))) << text;
    }
    ASSERT_FALSE(dates.empty());
    if (example.dates.size() > 1) {
      EXPECT_EQ(dates, example.dates);
    } else {
      EXPECT_EQ(dates.back(), example.dates.front());
    }
  }
}

// The change of 26 October 1997 lies inside: item 54 is 09:00 EDT, item 55 is 09:00 EST.
TEST(Rfc5545, DailyUntilChristmasKeepsNineOClockThroughTheClockChange) {
  const auto examples = Examples();
  const auto daily = std::find_if(examples.begin(), examples.end(), [](const Example& example) {
    return example.rule == "FREQ=DAILY;UNTIL=19971224T000000Z";
  });
  ASSERT_NE(daily, examples.end());
  const auto runs = RunsOf(*daily);
  ASSERT_EQ(runs.size(), 113u);
  EXPECT_EQ(Instant(runs[53].start), *ParseRfc3339("1997-10-25T09:00:00-04:00"));
  EXPECT_EQ(Instant(runs[54].start), *ParseRfc3339("1997-10-26T09:00:00-05:00"));
}

TEST(Rfc5545, JanuaryDailyOverThreeYearsHasNinetyThreeRuns) {
  size_t runs = 0;
  for (const Example& example : Examples()) {
    if (example.rule == "FREQ=DAILY;UNTIL=20000131T140000Z;BYMONTH=1") runs += RunsOf(example).size();
  }
  EXPECT_EQ(runs, 93u);
}

// Odd and even dates are FREQ=MONTHLY;BYMONTHDAY=1,3,...,31 and 2,4,...,30. Section 3.3.10: "Recurrence rules
// may generate recurrence instances with an invalid date (e.g., February 30) ... such recurrence instances
// MUST be ignored" (from memory).
TEST(Rfc5545, OddAndEvenDatesAreListsOfMonthDaysWithInvalidDatesIgnored) {
  for (const bool odd : {true, false}) {
    std::vector<Date> listed;
    for (int year = 1999; year <= 2000; ++year) {
      for (unsigned month = 1; month <= 12; ++month) {
        for (unsigned day = odd ? 1 : 2; day <= 31; day += 2) {
          const Date date{std::chrono::year(year), std::chrono::month(month), std::chrono::day(day)};
          if (date.ok()) listed.push_back(date);
        }
      }
    }
    TimerSettings settings;
    settings.programmes = {{{540}, 5, odd ? DayPattern(OddDates{}) : DayPattern(EvenDates{}), {}}};
    const auto runs =
        ExpandRuns({}, settings, NewYork(), {*ParseDate("1999-01-01"), *ParseDate("2001-01-01")},
                   {.follows_clock_change = true});
    ASSERT_EQ(runs.size(), listed.size());
    for (size_t i = 0; i < runs.size(); ++i) {
      EXPECT_EQ(FormatLocal(NewYork().ToLocal(Instant(runs[i].start))), FormatDate(listed[i]) + " 09:00");
    }
  }
}

}  // namespace
}  // namespace lastreach
