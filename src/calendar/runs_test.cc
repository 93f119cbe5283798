#include "calendar/runs.h"

#include <gtest/gtest.h>

#include <set>

#include "calendar/answer.h"

namespace lastreach {
namespace {

Date D(const char* text) { return *ParseDate(text); }
Zone Chicago() { return *Zone::Find("America/Chicago"); }

// SOURCE: common practice, no source: three programmes, four starts each, 1 minute to 6 hours, 5-minute
// starts.
ControllerForm CommonForm(Overlap overlap = Overlap::kQueue) {
  ControllerForm form;
  form.programmes = 3;
  form.starts_per_programme = 4;
  form.start_step_minutes = 5;
  form.minutes_min = 1;
  form.minutes_max = 360;
  form.minutes_step = 1;
  form.percent_min = 10;
  form.percent_max = 200;
  form.percent_step = 10;
  form.percent_scope = PercentScope::kAll;
  form.overlap = overlap;
  return form;
}

TimerSettings One(std::vector<int> starts, int minutes, DayPattern days = kEveryWeekday) {
  TimerSettings settings;
  settings.programmes.push_back({std::move(starts), minutes, days, {}});
  return settings;
}

std::vector<std::string> LocalStarts(const std::vector<Run>& runs, const Zone& zone) {
  std::vector<std::string> starts;
  for (const auto& run : runs) {
    starts.push_back(FormatLocal(zone.ToLocal(Instant(run.start))) + " " + std::to_string(run.minutes));
  }
  return starts;
}

std::vector<std::string> Expand(const ControllerForm& form, const TimerSettings& settings, const char* from,
                                const char* to, bool follows = true, const Zone& zone = Chicago()) {
  return LocalStarts(ExpandRuns(form, settings, zone, {D(from), D(to)}, {follows, 0}), zone);
}

using Strings = std::vector<std::string>;

// COMPUTED from the Gregorian calendar: a normal year has 186 odd and 179 even dates; odd dates bring 7
// back-to-back days inside a year (8 in a leap year: 29 February and 1 March), even dates as many three-day
// gaps.
TEST(OddAndEvenDates, HaveTheCountsOfTheGregorianCalendar) {
  struct Case {
    const char* from;
    const char* to;
    int odd, even, together;
  };
  // The 31st of December meets the 1st of January outside the year, so a year on its own has 6 such pairs
  // of months (Jan, Mar, May, Jul, Aug, Oct) and the seventh joins it to the next.
  for (const Case& c :
       {Case{"2026-01-01", "2027-01-01", 186, 179, 6}, Case{"2024-01-01", "2025-01-01", 187, 179, 7}}) {
    const auto odd =
        ExpandRuns(CommonForm(), One({600}, 10, OddDates{}), Zone::Utc(), {D(c.from), D(c.to)}, {});
    const auto even =
        ExpandRuns(CommonForm(), One({600}, 10, EvenDates{}), Zone::Utc(), {D(c.from), D(c.to)}, {});
    EXPECT_EQ(static_cast<int>(odd.size()), c.odd);
    EXPECT_EQ(static_cast<int>(even.size()), c.even);
    int together = 0;
    int three_days = 0;
    for (size_t i = 1; i < odd.size(); ++i)
      together += (odd[i].start - odd[i - 1].start).count() == 1440 ? 1 : 0;
    for (size_t i = 1; i < even.size(); ++i)
      three_days += (even[i].start - even[i - 1].start).count() == 3 * 1440 ? 1 : 0;
    EXPECT_EQ(together, c.together);
    EXPECT_EQ(three_days, c.together);
  }
  // With the new year counted in, as the trade counts: 7 and 8.
  const auto odd = ExpandRuns(CommonForm(), One({600}, 10, OddDates{}), Zone::Utc(),
                              {D("2026-01-01"), D("2027-01-02")}, {});
  EXPECT_EQ((odd.back().start - odd[odd.size() - 2].start).count(), 1440);
}

TEST(OddAndEvenDates, NeverShareADay) {
  std::set<int64_t> odd_days;
  const DateWindow window{D("2024-01-01"), D("2028-01-01")};
  for (const auto& run : ExpandRuns(CommonForm(), One({600}, 10, OddDates{}), Zone::Utc(), window, {})) {
    odd_days.insert(run.start.time_since_epoch().count() / 1440);
  }
  for (const auto& run : ExpandRuns(CommonForm(), One({600}, 10, EvenDates{}), Zone::Utc(), window, {})) {
    EXPECT_EQ(odd_days.count(run.start.time_since_epoch().count() / 1440), 0U);
  }
}

TEST(OddDates, LeaveOutThe31stWhereTheTimerDoes) {
  ControllerForm form = CommonForm();
  form.odd_skips_31st = true;
  EXPECT_EQ(Expand(form, One({600}, 10, OddDates{}), "2026-01-29", "2026-02-02"),
            (Strings{"2026-01-29 10:00 10", "2026-02-01 10:00 10"}));
}

TEST(EveryN, CountsFromItsFirstDayAndNotBefore) {
  const EveryNDays days{3, D("2026-02-26")};
  EXPECT_EQ(Expand(CommonForm(), One({60}, 5, days), "2026-02-20", "2026-03-06"),
            (Strings{"2026-02-26 01:00 5", "2026-03-01 01:00 5", "2026-03-04 01:00 5"}));
}

// The night clocks go forward: 02:30 does not exist and happens when the clock first reads past it, 03:00.
TEST(ClockChange, RunsASkippedStartWhenTheClockFirstReadsPastIt) {
  EXPECT_EQ(Expand(CommonForm(), One({150}, 10), "2026-03-08", "2026-03-09"),
            (Strings{"2026-03-08 03:00 10"}));
  EXPECT_EQ(
      Expand(CommonForm(), One({150}, 10), "2026-10-04", "2026-10-05", true, *Zone::Find("Australia/Sydney")),
      (Strings{"2026-10-04 03:00 10"}));
}

// The night clocks go back: 01:30 comes twice and runs once, the first time.
TEST(ClockChange, RunsARepeatedStartOnceTheFirstTime) {
  const auto runs =
      ExpandRuns(CommonForm(), One({90}, 10), Chicago(), {D("2026-11-01"), D("2026-11-02")}, {true, 0});
  ASSERT_EQ(runs.size(), 1U);
  EXPECT_EQ(Instant(runs[0].start), *ParseRfc3339("2026-11-01T01:30:00-05:00"));
  const Zone sydney = *Zone::Find("Australia/Sydney");
  const auto south =
      ExpandRuns(CommonForm(), One({150}, 10), sydney, {D("2026-04-05"), D("2026-04-06")}, {true, 0});
  ASSERT_EQ(south.size(), 1U);
  EXPECT_EQ(Instant(south[0].start), *ParseRfc3339("2026-04-05T02:30:00+11:00"));
}

TEST(ClockChange, AClockThatDoesNotFollowRunsAnHourLaterInSummer) {
  EXPECT_EQ(Expand(CommonForm(), One({70}, 30), "2026-03-07", "2026-03-10", false),
            (Strings{"2026-03-07 01:10 30", "2026-03-08 01:10 30", "2026-03-09 02:10 30"}));
  // Its day is its own: 23:30 on the 1st by its clock is half past midnight of the 2nd outside.
  EXPECT_EQ(Expand(CommonForm(), One({1410}, 10, OddDates{}), "2026-07-01", "2026-07-04", false),
            (Strings{"2026-07-02 00:30 10"}));
}

TEST(ClockChange, StartsThatMeetAtTheChangeGoByProgramme) {
  TimerSettings settings = One({160}, 10);
  settings.programmes.push_back({{130}, 20, kEveryWeekday, {}});
  settings.programmes.push_back({{180}, 5, kEveryWeekday, {}});
  EXPECT_EQ(Expand(CommonForm(), settings, "2026-03-08", "2026-03-09"),
            (Strings{"2026-03-08 03:00 10", "2026-03-08 03:10 20", "2026-03-08 03:30 5"}));
}

TimerSettings Crossing() {
  TimerSettings settings = One({60}, 60);
  settings.programmes.push_back({{90}, 20, kEveryWeekday, {}});
  settings.programmes.push_back({{110}, 60, kEveryWeekday, {}});
  return settings;
}

TEST(Overlap, QueueRunsEachWholeInTurn) {
  EXPECT_EQ(Expand(CommonForm(Overlap::kQueue), Crossing(), "2026-06-01", "2026-06-02"),
            (Strings{"2026-06-01 01:00 60", "2026-06-01 02:00 20", "2026-06-01 02:20 60"}));
}
TEST(Overlap, MergeMakesOneRunOfTheUnion) {
  EXPECT_EQ(Expand(CommonForm(Overlap::kMerge), Crossing(), "2026-06-01", "2026-06-02"),
            (Strings{"2026-06-01 01:00 110"}));
}
TEST(Overlap, DropLosesTheNewStart) {
  EXPECT_EQ(Expand(CommonForm(Overlap::kDrop), Crossing(), "2026-06-01", "2026-06-02"),
            (Strings{"2026-06-01 01:00 60"}));
}
TEST(Overlap, RestartCutsTheRunThatIsOn) {
  EXPECT_EQ(Expand(CommonForm(Overlap::kRestart), Crossing(), "2026-06-01", "2026-06-02"),
            (Strings{"2026-06-01 01:00 30", "2026-06-01 01:30 20", "2026-06-01 01:50 60"}));
}
TEST(Overlap, RestartDoesNotListARunCutToNothing) {
  TimerSettings settings = One({60}, 60);
  settings.programmes.push_back({{60}, 20, kEveryWeekday, {}});
  const auto runs = ExpandRuns(CommonForm(Overlap::kRestart), settings, Zone::Utc(),
                               {D("2026-06-01"), D("2026-06-02")}, {});
  ASSERT_EQ(runs.size(), 1U);
  EXPECT_EQ(runs[0].programme, 2);
}
TEST(Overlap, ARunThatEndsAtTheMinuteOfTheNextStartIsNotOn) {
  TimerSettings settings = One({60}, 30);
  settings.programmes.push_back({{90}, 20, kEveryWeekday, {}});
  for (const Overlap overlap : {Overlap::kQueue, Overlap::kMerge, Overlap::kDrop, Overlap::kRestart}) {
    EXPECT_EQ(Expand(CommonForm(overlap), settings, "2026-06-01", "2026-06-02"),
              (Strings{"2026-06-01 01:00 30", "2026-06-01 01:30 20"}));
  }
}

TEST(Window, SeesTheQueueOfTheEve) {
  // Six hours from 20:00 and six more from 21:00: the second runs from 02:00 of the next day.
  EXPECT_EQ(Expand(CommonForm(), One({1200, 1260}, 360), "2026-06-02", "2026-06-03"),
            (Strings{"2026-06-02 02:00 360", "2026-06-02 20:00 360"}));
}

TEST(Window, ListsARunThatStartsInsideWholeAndNoneThatStartsBefore) {
  EXPECT_EQ(Expand(CommonForm(), One({1430}, 30), "2026-06-01", "2026-06-02"),
            (Strings{"2026-06-01 23:50 30"}));
}

TEST(State, OffMakesNoRuns) {
  TimerSettings settings = One({60}, 60);
  settings.on = false;
  EXPECT_TRUE(Expand(CommonForm(), settings, "2026-06-01", "2026-07-01").empty());
}

TEST(Clock, AFastClockRunsEarlyAndAmPmSwappedRunsHalfADayAway) {
  const DateWindow day{D("2026-06-02"), D("2026-06-03")};
  const Zone utc = Zone::Utc();
  EXPECT_EQ(LocalStarts(ExpandRuns(CommonForm(), One({70}, 30), utc, day, {false, 17}), utc),
            (Strings{"2026-06-02 00:53 30"}));
  EXPECT_EQ(LocalStarts(ExpandRuns(CommonForm(), One({70}, 30), utc, day, {false, 720}), utc),
            (Strings{"2026-06-02 13:10 30"}));
}

}  // namespace
}  // namespace lastreach
