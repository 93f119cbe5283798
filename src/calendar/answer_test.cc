#include "calendar/answer.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace lastreach {
namespace {

using testing::Contains;
using testing::HasSubstr;
using testing::Not;

Date D(const char* text) { return *ParseDate(text); }

CalendarAnswer Ask(const std::string& json, const char* from, const char* to,
                   const char* zone = "America/Chicago") {
  return AnswerCalendar(*ParseDeviceSettings(json, "test"), *Zone::Find(zone), {D(from), D(to)});
}

TEST(Answer, CountsRunsMinutesAndTheLongestGapOfAWeek) {
  const auto answer = Ask(R"({"programmes":[{"starts":["01:00"],"minutes":60,"days":["mon","wed","fri"]}]})",
                          "2026-06-01", "2026-06-15", "UTC");
  EXPECT_EQ(answer.runs.size(), 6U);
  EXPECT_EQ(answer.total_minutes, 360);
  // Friday 02:00 to Monday 01:00.
  EXPECT_DOUBLE_EQ(answer.longest_gap->hours(), 71);
  EXPECT_EQ(FormatDate(DateOf(answer.longest_gap->from)), "2026-06-05");
  EXPECT_EQ(answer.runs_per_year, 157);  // 2026-06-01 is a Monday: 53 Mondays, 52 Wednesdays and Fridays
}

TEST(Answer, GapsAreRealHoursAcrossAClockChange) {
  const std::string json =
      R"({"controller":{"follows_clock_change":true},"programmes":[{"starts":["12:00"],"minutes":60}]})";
  EXPECT_DOUBLE_EQ(Ask(json, "2026-03-07", "2026-03-09").longest_gap->hours(), 22);
  EXPECT_DOUBLE_EQ(Ask(json, "2026-10-31", "2026-11-02").longest_gap->hours(), 24);
}

TEST(Answer, HasNoGapWithFewerThanTwoRuns) {
  EXPECT_FALSE(
      Ask(R"({"programmes":[{"starts":["12:00"],"minutes":60}]})", "2026-06-01", "2026-06-02").longest_gap);
}

TEST(Answer, ConsidersEveryPhaseWhereTheFirstDayIsUnknown) {
  const std::string json = R"({"programmes":[{"starts":["00:00"],"minutes":60,"days":{"every":3}},
                                             {"starts":["12:00"],"minutes":60,"days":{"every":4}}]})";
  const auto answer = Ask(json, "2026-06-01", "2026-06-25", "UTC");
  // Brute force over the 12 pairs of first days, each keyed as known.
  double worst = 0;
  for (int a = 0; a < 3; ++a) {
    for (int b = 0; b < 4; ++b) {
      DeviceSettings device = *ParseDeviceSettings(json, "test");
      std::get<EveryNDays>(device.settings.programmes[0].days).from = AddDays(D("2026-05-20"), a);
      std::get<EveryNDays>(device.settings.programmes[1].days).from = AddDays(D("2026-05-20"), b);
      worst = std::max(
          worst,
          AnswerCalendar(device, Zone::Utc(), {D("2026-06-01"), D("2026-06-25")}).longest_gap->hours());
    }
  }
  EXPECT_DOUBLE_EQ(answer.longest_gap->hours(), worst);
  EXPECT_THAT(answer.warnings, Contains(HasSubstr("every phase was considered")));
}

TEST(Warnings, NameTheTrapsInWords) {
  const auto odd = Ask(R"({"controller":{"follows_clock_change":false,"percent_max":200,"percent_step":10},
      "percent":130,"programmes":[{"starts":["01:00","01:30"],"minutes":30,"days":"odd"},
                                  {"starts":["23:50"],"minutes":30,"days":"even"}]})",
                       "2026-01-01", "2027-01-01");
  EXPECT_THAT(odd.warnings, Contains(HasSubstr("while a run is still on, first on 2026-01-01 01:30")));
  EXPECT_THAT(odd.warnings, Contains(HasSubstr("not known: taken here to run it whole afterwards")));
  EXPECT_THAT(odd.warnings, Contains(HasSubstr("30 minutes keyed at 130 % run 39")));
  EXPECT_THAT(
      odd.warnings,
      Contains(HasSubstr("odd dates: months that end on an odd date run two days together, 6 times")));
  EXPECT_THAT(odd.warnings, Contains(HasSubstr("even dates: three days pass without a run")));
  EXPECT_THAT(odd.warnings, Contains(HasSubstr("past midnight on the device's clock")));
  EXPECT_THAT(odd.warnings,
              Contains(HasSubstr("from 2026-03-08 everything happens 60 minutes later by local time")));
}

TEST(Warnings, NameThePercentageAtWhichRunsWouldOverlap) {
  const std::string json = R"({"controller":{"percent_step":10,"percent_max":200,"overlap":"drop"},
                               "programmes":[{"starts":["01:00","01:45"],"minutes":30}]})";
  EXPECT_THAT(Ask(json, "2026-06-01", "2026-06-08", "UTC").warnings, Contains("at 160 % runs would overlap"));
}

TEST(Warnings, ASettingsWithoutTrapsHasNone) {
  const auto answer =
      Ask(R"({"controller":{"follows_clock_change":true,"percent_scope":"none","overlap":"queue"},
                              "programmes":[{"starts":["05:00"],"minutes":10}]})",
          "2026-06-01", "2026-06-08");
  EXPECT_TRUE(answer.warnings.empty()) << answer.warnings.front();
}

TEST(Warnings, NameAStartInTheSkippedOrRepeatedHour) {
  const std::string json = R"({"controller":{"follows_clock_change":true,"percent_scope":"none"},
                               "programmes":[{"starts":["01:30","02:30"],"minutes":10}]})";
  const auto answer = Ask(json, "2026-03-01", "2026-12-01");
  EXPECT_THAT(answer.warnings,
              Contains("start 02:30 is in the hour skipped on 2026-03-08: it happens at 03:00"));
  EXPECT_THAT(answer.warnings,
              Contains("start 01:30 is in the hour repeated on 2026-11-01: it happens the first time only"));
  EXPECT_THAT(answer.warnings, Not(Contains(HasSubstr("start 02:30 is in the hour repeated"))));
}

}  // namespace
}  // namespace lastreach
