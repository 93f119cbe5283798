#include "calendar/icalendar.h"

#include <gtest/gtest.h>
#include <libical/ical.h>

namespace lastreach {
namespace {

// RFC 5545 asks for CRLF line ends, a version and an identifier; the library that parses it back is the judge
// of the rest.
TEST(ICalendar, ParsesBackToTheSameRuns) {
  const MinuteInstant start = std::chrono::floor<std::chrono::minutes>(*ParseRfc3339("2026-07-01T07:10:00Z"));
  const std::string text = ToICalendar({{start, 30, 1}, {start + std::chrono::days(1), 45, 2}},
                                       "FP-1; Mill, Lane", *ParseRfc3339("2026-06-01T00:00:00Z"));
  EXPECT_NE(text.find("\r\n"), std::string::npos);
  icalcomponent* calendar = icalparser_parse_string(text.c_str());
  ASSERT_NE(calendar, nullptr);
  std::vector<std::pair<time_t, int>> events;
  for (icalcomponent* event = icalcomponent_get_first_component(calendar, ICAL_VEVENT_COMPONENT);
       event != nullptr; event = icalcomponent_get_next_component(calendar, ICAL_VEVENT_COMPONENT)) {
    events.emplace_back(icaltime_as_timet(icalcomponent_get_dtstart(event)),
                        icaldurationtype_as_int(icalcomponent_get_duration(event)));
    EXPECT_NE(icalcomponent_get_uid(event), nullptr);
  }
  ASSERT_EQ(events.size(), 2U);
  EXPECT_EQ(events[0], (std::pair<time_t, int>{1782889800, 1800}));
  EXPECT_EQ(events[1], (std::pair<time_t, int>{1782889800 + 86400, 2700}));
  EXPECT_EQ(icalcomponent_count_errors(calendar), 0);
  icalcomponent_free(calendar);
}

}  // namespace
}  // namespace lastreach
