#include "report/clock_words.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "report/test_plans.h"

namespace lastreach {
namespace {

using testing::HasSubstr;
using testing::Not;

Zone ZoneOf(const std::string& name) { return *Zone::Find(name); }

// US: second Sunday of March to first Sunday of November, 8 March and 1 November in 2026 (15 U.S.C. 260a).
TEST(ClockMustRead, ExplainsAStandardTimeClockByThePhone) {
  const ClockWords clock =
      ClockMustRead(TestForm(), ZoneOf("America/Chicago"), TestDate(2026, 7, 1), SheetUnits::kUs);
  EXPECT_EQ(clock.headline, "Standard time, all year");
  EXPECT_EQ(
      clock.detail,
      "Do not move it for daylight saving time. From March 8, 2026 to November 1, 2026 it reads 1 hour less "
      "than your phone: phone 3:00 in the afternoon (15:00), this clock 2:00 in the afternoon (14:00).");
}

// EU: last Sundays of March and October, 28 March and 31 October in 2027 (Directive 2000/84/EC).
TEST(ClockMustRead, SpeaksOfTheNextSummerWhenPlannedInWinter) {
  const ClockWords clock =
      ClockMustRead(TestForm(), ZoneOf("Europe/Berlin"), TestDate(2026, 11, 15), SheetUnits::kMetric);
  EXPECT_THAT(clock.detail, HasSubstr("summer time. From 28 March 2027 to 31 October 2027"));
}

TEST(ClockMustRead, SaysTheSameAsThePhoneWhereClocksDoNotChange) {
  const ClockWords clock =
      ClockMustRead(TestForm(), ZoneOf("America/Phoenix"), TestDate(2026, 7, 1), SheetUnits::kUs);
  EXPECT_EQ(clock.headline, "The same as your phone");
  EXPECT_THAT(clock.detail, Not(HasSubstr("Do not move it")));
}

TEST(ClockMustRead, AsksToLookWhereNobodyKnowsWhetherTheClockMovesItself) {
  ControllerForm form = TestForm();
  form.follows_clock_change.reset();
  const ClockWords clock =
      ClockMustRead(form, ZoneOf("America/Chicago"), TestDate(2026, 7, 1), SheetUnits::kUs);
  EXPECT_EQ(clock.headline, "Standard time, all year");
  EXPECT_THAT(clock.detail, HasSubstr("Nobody has noted whether this clock moves itself"));
}

TEST(DeviceClockAt, IsAnHourBehindThePhoneInSummerOnlyIfTheClockStaysPut) {
  const Zone zone = ZoneOf("America/Chicago");
  const MinuteInstant summer = TestMoment(2026, 7, 1, 7, 10);   // 02:10 CDT
  const MinuteInstant winter = TestMoment(2026, 12, 1, 7, 10);  // 01:10 CST
  ControllerForm form = TestForm();
  EXPECT_EQ(FormatLocal(DeviceClockAt(form, zone, summer)), "2026-07-01 01:10");
  EXPECT_EQ(FormatLocal(DeviceClockAt(form, zone, winter)), "2026-12-01 01:10");
  form.follows_clock_change = true;
  EXPECT_EQ(FormatLocal(DeviceClockAt(form, zone, summer)), "2026-07-01 02:10");
}

}  // namespace
}  // namespace lastreach
