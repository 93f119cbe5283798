#include "core/zone.h"

#include <gtest/gtest.h>

namespace lastreach {
namespace {

using std::chrono::hours;
using std::chrono::minutes;

Instant At(const char* text) { return *ParseRfc3339(text); }
LocalTime Local(const char* date, int hour, int minute = 0) {
  return Midnight(*ParseDate(date)) + hours(hour) + minutes(minute);
}
std::chrono::seconds Standard(const char* zone, const char* time) {
  return Zone::Find(zone)->Offsets(At(time), At(time) + hours(1)).front().standard_offset;
}

TEST(Zone, IsFoundByItsIanaNameOnly) {
  EXPECT_TRUE(Zone::Find("Europe/Berlin").ok());
  for (const char* name : {"Chicago", "", "/etc/localtime", "America/Nowhere"})
    EXPECT_FALSE(Zone::Find(name).ok());
}

// SOURCE: IANA time zone database; US rules since 2007: second Sunday of March, first of November, at 2:00.
TEST(Zone, FindsBothClockChangesOfTheNorthAndTheSouth) {
  const Zone chicago = *Zone::Find("America/Chicago");
  EXPECT_EQ(chicago.OffsetAt(At("2026-03-08T07:59:59Z")), hours(-6));
  EXPECT_EQ(chicago.OffsetAt(At("2026-03-08T08:00:00Z")), hours(-5));
  EXPECT_EQ(chicago.OffsetAt(At("2026-11-01T07:00:00Z")), hours(-6));
  const Zone sydney = *Zone::Find("Australia/Sydney");
  EXPECT_EQ(sydney.OffsetAt(At("2026-04-04T15:59:59Z")), hours(11));
  EXPECT_EQ(sydney.OffsetAt(At("2026-04-04T16:00:00Z")), hours(10));
  EXPECT_EQ(sydney.OffsetAt(At("2026-10-03T16:00:00Z")), hours(11));
}

// Zone files list changes up to 2037; later ones follow the rule at their end (RFC 8536, 3.3).
TEST(Zone, KeepsChangingTheClockInTheFarFuture) {
  const Zone berlin = *Zone::Find("Europe/Berlin");
  EXPECT_EQ(berlin.OffsetAt(At("2099-07-01T00:00:00Z")), hours(2));
  EXPECT_EQ(berlin.OffsetAt(At("2099-12-01T00:00:00Z")), hours(1));
  EXPECT_EQ(Standard("Europe/Berlin", "2099-07-01T00:00:00Z"), hours(1));
}

TEST(Zone, ReadsASkippedTimeAtTheChangeAndARepeatedOneTheFirstTime) {
  const Zone chicago = *Zone::Find("America/Chicago");
  EXPECT_EQ(chicago.FirstInstant(Local("2026-03-08", 2, 30)), At("2026-03-08T03:00:00-05:00"));
  EXPECT_EQ(chicago.FirstInstant(Local("2026-11-01", 1, 30)), At("2026-11-01T01:30:00-05:00"));
  EXPECT_EQ(chicago.FirstInstant(Local("2026-11-01", 2)), At("2026-11-01T02:00:00-06:00"));
}

TEST(Zone, StandardTimeIsTheWinterClock) {
  for (const char* month : {"2026-01-15T00:00:00Z", "2026-07-15T00:00:00Z"}) {
    EXPECT_EQ(Standard("America/Chicago", month), hours(-6)) << month;
    EXPECT_EQ(Standard("Europe/Dublin", month), hours(0)) << month;  // recorded with a negative winter shift
    EXPECT_EQ(Standard("Australia/Lord_Howe", month), hours(10) + minutes(30)) << month;
    EXPECT_EQ(Standard("America/Phoenix", month), hours(-7)) << month;
  }
}

// SOURCE: IANA time zone database. Moscow made its summer clock permanent on 2011-03-27 and took an hour off
// on 2014-10-26; Turkey kept +03 from 2016; Samoa crossed the date line at the end of 2011, in summer time.
TEST(Zone, StandardTimeFollowsAChangeOfZone) {
  EXPECT_EQ(Standard("Europe/Moscow", "2010-07-01T00:00:00Z"), hours(3));
  EXPECT_EQ(Standard("Europe/Moscow", "2011-07-01T00:00:00Z"), hours(4));
  EXPECT_EQ(Standard("Europe/Moscow", "2014-12-01T00:00:00Z"), hours(3));
  EXPECT_EQ(Standard("Europe/Istanbul", "2017-07-01T00:00:00Z"), hours(3));
  EXPECT_EQ(Standard("Pacific/Apia", "2011-12-29T00:00:00Z"), hours(-11));
  EXPECT_EQ(Standard("Pacific/Apia", "2012-01-15T00:00:00Z"), hours(13));
}

TEST(Zone, OffsetsCoverTheSpanAskedForInOrder) {
  const Zone chicago = *Zone::Find("America/Chicago");
  const auto pieces = chicago.Offsets(At("2026-01-01T06:00:00Z"), At("2027-01-01T06:00:00Z"));
  ASSERT_EQ(pieces.size(), 3U);
  EXPECT_LE(pieces[0].from, At("2026-01-01T06:00:00Z"));
  EXPECT_EQ(pieces[1].from, At("2026-03-08T08:00:00Z"));
  EXPECT_EQ(pieces[2].from, At("2026-11-01T07:00:00Z"));
}

}  // namespace
}  // namespace lastreach
