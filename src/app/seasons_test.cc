#include "app/seasons.h"

#include <gtest/gtest.h>

namespace lastreach {
namespace {

Date Day(const char* text) { return *ParseDate(text); }

std::string Said(const char* words, const char* today, bool south = false) {
  const Result<Season> season = SeasonOf(words, Day(today), south);
  if (!season.ok()) return "refused";
  return season->name + ": " + FormatDate(season->days.from) + " to " + FormatDate(season->days.to);
}

// The spans are common practice, no source.
TEST(Seasons, AreThoseOfTheNorth) {
  EXPECT_EQ(Said("spring-2027", "2026-01-01"), "spring 2027: 2027-04-01 to 2027-06-01");
  EXPECT_EQ(Said("summer-2027", "2026-01-01"), "summer 2027: 2027-06-01 to 2027-10-01");
  EXPECT_EQ(Said("autumn-2027", "2026-01-01"), "autumn 2027: 2027-10-01 to 2027-12-01");
  EXPECT_EQ(Said("winter-2027", "2026-01-01"), "winter 2027: 2027-12-01 to 2028-04-01");
}

TEST(Seasons, AreHalfAYearLaterInTheSouth) {
  EXPECT_EQ(Said("spring-2027", "2026-01-01", true), "spring 2027: 2027-10-01 to 2027-12-01");
  EXPECT_EQ(Said("summer-2027", "2026-01-01", true), "summer 2027: 2027-12-01 to 2028-04-01");
  EXPECT_EQ(Said("autumn-2027", "2026-01-01", true), "autumn 2027: 2027-04-01 to 2027-06-01");
  EXPECT_EQ(Said("winter-2027", "2026-01-01", true), "winter 2027: 2027-06-01 to 2027-10-01");
}

TEST(Seasons, FillTheYearWithoutGapOrOverlap) {
  for (const bool south : {false, true}) {
    Date end = SeasonOf("winter-2026", Day("2026-01-01"), south)->days.to;
    const char* other = south ? "2026" : "2027";  // the year in which the others begin
    for (const std::string& name :
         {std::string("spring-") + other, std::string("summer-") + other, std::string("autumn-2027")}) {
      const Season season = *SeasonOf(name, Day("2026-01-01"), south);
      EXPECT_EQ(FormatDate(season.days.from), FormatDate(end)) << name;
      end = season.days.to;
    }
  }
}

TEST(Seasons, WithoutAYearIsTheOneThatIsOn) {
  EXPECT_EQ(Said("summer", "2026-06-01"), "summer 2026: 2026-06-01 to 2026-10-01");
  EXPECT_EQ(Said("summer", "2026-09-30"), "summer 2026: 2026-06-01 to 2026-10-01");
  EXPECT_EQ(Said("winter", "2027-03-31"), "winter 2026: 2026-12-01 to 2027-04-01");
  EXPECT_EQ(Said("summer", "2027-02-10", true), "summer 2026: 2026-12-01 to 2027-04-01");
}

TEST(Seasons, WithoutAYearIsElseTheNextToCome) {
  EXPECT_EQ(Said("summer", "2026-10-01"), "summer 2027: 2027-06-01 to 2027-10-01");
  EXPECT_EQ(Said("summer", "2026-05-31"), "summer 2026: 2026-06-01 to 2026-10-01");
  EXPECT_EQ(Said("winter", "2026-04-01"), "winter 2026: 2026-12-01 to 2027-04-01");
}

TEST(Seasons, AYearIsTwelveMonthsFromTheComingFirst) {
  EXPECT_EQ(Said("year", "2026-07-20"), "year from 2026-08-01: 2026-08-01 to 2027-08-01");
  EXPECT_EQ(Said("year", "2026-12-31"), "year from 2027-01-01: 2027-01-01 to 2028-01-01");
  EXPECT_EQ(Said("year-2028", "2026-07-20"), "year from 2028-01-01: 2028-01-01 to 2029-01-01");
}

TEST(Seasons, RefuseEveryOtherWord) {
  for (const char* words : {"", "sumer", "Summer", "summer-", "summer-27", "summer-20271", "summer 2027",
                            "summer-2o27", "-2027", "2027", "summer-2027-"}) {
    const Result<Season> season = SeasonOf(words, Day("2026-07-20"), false);
    ASSERT_FALSE(season.ok()) << words;
    EXPECT_EQ(ExitCodeOf(season.error().code), 2);
    EXPECT_NE(season.error().message.find("'" + std::string(words) + "'"), std::string::npos);
  }
}

}  // namespace
}  // namespace lastreach
