#include "year/year_parts.h"

#include <gtest/gtest.h>

namespace lastreach {
namespace {

Date Day(const char* text) { return *ParseDate(text); }

int DaysOf(const std::vector<YearPart>& parts) {
  int days = 0;
  for (const YearPart& part : parts) days += part.length_days();
  return days;
}

TEST(PartsOfYear, AreTheSeasonsFromTheNextOneOn) {
  const auto parts = PartsOfYear(Day("2026-04-02"), YearDivision::kSeasons, false);
  ASSERT_EQ(parts.size(), 4u);
  EXPECT_EQ(parts[0].name, "summer, June to September 2026");
  EXPECT_EQ(parts[1].name, "autumn, October to November 2026");
  EXPECT_EQ(parts[2].name, "winter, December to March 2027");
  EXPECT_EQ(parts[3].name, "spring, April to May 2027");
  EXPECT_EQ(parts[0].days.from, Day("2026-06-01"));
  EXPECT_EQ(parts[3].days.to, Day("2027-06-01"));
  EXPECT_EQ(parts[2].months, (std::vector<int>{12, 1, 2, 3}));
  EXPECT_EQ(DaysOf(parts), 365);
}

TEST(PartsOfYear, AreSixMonthsLaterInTheSouth) {
  const auto parts = PartsOfYear(Day("2026-12-01"), YearDivision::kSeasons, true);
  EXPECT_EQ(parts[0].name, "summer, December to March 2027");
  EXPECT_EQ(parts[2].name, "winter, June to September 2027");
}

TEST(PartsOfYear, AreMonthsOnRequestWithTheLeapDay) {
  const auto parts = PartsOfYear(Day("2028-01-15"), YearDivision::kMonths, false);
  ASSERT_EQ(parts.size(), 12u);
  EXPECT_EQ(parts[0].name, "February 2028");
  EXPECT_EQ(parts[0].length_days(), 29);
  EXPECT_EQ(DaysOf(parts), 366);
}

TEST(PartsOfYear, FollowEachOtherAndEndWhereCut) {
  const std::set<int> frost = {12, 1, 2};
  const auto parts = PartsOfYear(Day("2026-04-01"), YearDivision::kSeasons, false, CutsAt(frost));
  ASSERT_EQ(parts.size(), 5u);
  for (size_t p = 1; p < parts.size(); ++p) EXPECT_EQ(parts[p].days.from, parts[p - 1].days.to);
  int in_frost = 0;
  for (const YearPart& part : parts) {
    if (LiesIn(part, frost)) in_frost += part.length_days();
    for (const int month : part.months) EXPECT_EQ(frost.contains(month), LiesIn(part, frost)) << part.name;
  }
  EXPECT_EQ(in_frost, 31 + 31 + 28);
  EXPECT_EQ(parts[4].name, "winter, March 2027");
}

TEST(CutsAt, AreWhereMonthsBeginOrCeaseToBeAmongThem) {
  EXPECT_EQ(CutsAt({12, 1, 2}), (std::set<int>{12, 3}));
  EXPECT_EQ(CutsAt({}), std::set<int>{});
  EXPECT_EQ(CutsAt({1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}), std::set<int>{});
}

}  // namespace
}  // namespace lastreach
