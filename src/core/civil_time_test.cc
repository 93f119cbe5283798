#include "core/civil_time.h"

#include <gtest/gtest.h>

namespace lastreach {
namespace {

using std::chrono::hours;

TEST(ParseDate, TakesRealDaysOnly) {
  EXPECT_EQ(FormatDate(*ParseDate("2026-07-01")), "2026-07-01");
  EXPECT_TRUE(ParseDate("2024-02-29").ok());
  for (const char* text :
       {"2026-02-29", "2026-13-01", "2026-7-1", "26-07-01", "2026-07-01 ", "2026/07/01", ""}) {
    EXPECT_FALSE(ParseDate(text).ok()) << text;
  }
}

// SOURCE: the Gregorian calendar; day numbers are Unix days, 1970-01-01 a Thursday (POSIX.1-2017, 4.16).
TEST(DayNumber, CountsFromTheUnixEpochAndBack) {
  EXPECT_EQ(DayNumber(*ParseDate("1970-01-01")), 0);
  EXPECT_EQ(DayNumber(*ParseDate("2000-03-01")), 11017);
  EXPECT_EQ(WeekdayName(*ParseDate("1970-01-01")), "Thursday");
  EXPECT_EQ(WeekdayName(*ParseDate("2026-11-25")), "Wednesday");
  for (int day = -40000; day < 60000; day += 17) EXPECT_EQ(DayNumber(DateOfDayNumber(day)), day);
}

TEST(AddYears, KeepsTheLastDayOfFebruary) {
  EXPECT_EQ(FormatDate(AddYears(*ParseDate("2024-02-29"), 1)), "2025-02-28");
  EXPECT_EQ(FormatDate(AddYears(*ParseDate("2026-07-01"), 1)), "2027-07-01");
}

TEST(ParseTimeOfDay, RunsFromMidnightToOneMinuteBefore) {
  EXPECT_EQ(*ParseTimeOfDay("00:00"), 0);
  EXPECT_EQ(*ParseTimeOfDay("7:05"), 425);
  EXPECT_EQ(*ParseTimeOfDay("23:59"), 1439);
  for (const char* text : {"24:00", "12:60", "1:5", "0110", "", "ab:cd", "-1:00"}) {
    EXPECT_FALSE(ParseTimeOfDay(text).ok()) << text;
  }
  EXPECT_EQ(FormatTimeOfDay(425), "07:05");
}

TEST(Rfc3339, WritesTheOffsetAndReadsItBack) {
  const Instant moment = *ParseRfc3339("2026-07-01T02:10:00-05:00");
  EXPECT_EQ(FormatRfc3339(moment, hours(0)), "2026-07-01T07:10:00+00:00");
  EXPECT_EQ(FormatRfc3339(moment, hours(-5)), "2026-07-01T02:10:00-05:00");
  EXPECT_EQ(FormatRfc3339(moment, hours(5) + std::chrono::minutes(45)), "2026-07-01T12:55:00+05:45");
  EXPECT_EQ(*ParseRfc3339("2026-07-01T07:10:00Z"), moment);
  EXPECT_FALSE(ParseRfc3339("2026-07-01T07:10:00").ok());
}

}  // namespace
}  // namespace lastreach
