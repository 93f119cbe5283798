#include "together/open_times.h"

#include <gtest/gtest.h>

#include <random>

#include "calendar/runs.h"

namespace lastreach {
namespace {

ControllerForm PlainForm() {
  ControllerForm form;
  form.overlap = Overlap::kQueue;
  return form;
}

TimerSettings One(std::vector<int> starts_min, int minutes, DayPattern days) {
  TimerSettings settings;
  settings.programmes = {{std::move(starts_min), minutes, days, {}}};
  return settings;
}

TEST(ClockWeek, HasWeekdaysOnTheirDaysOnly) {
  const OpenTimes times = ClockWeek(PlainForm(), One({60}, 30, Weekdays{0b101}));
  EXPECT_EQ(times, (OpenTimes{{60, 90}, {2 * kMinutesADay + 60, 2 * kMinutesADay + 90}}));
}

TEST(ClockWeek, TakesDaysThatMoveForEveryDay) {
  for (const DayPattern& days :
       {DayPattern(OddDates{}), DayPattern(EvenDates{}), DayPattern(EveryNDays{5, {}})}) {
    const OpenTimes times = ClockWeek(PlainForm(), One({60}, 30, days));
    EXPECT_EQ(times, ClockWeek(PlainForm(), One({60}, 30, kEveryWeekday)));
    EXPECT_TRUE(IsDaily(times));
  }
}

TEST(ClockWeek, WrapsARunOfSundayNightIntoMonday) {
  const OpenTimes times = ClockWeek(PlainForm(), One({kMinutesADay - 10}, 30, Weekdays{0b1000000}));
  EXPECT_EQ(times, (OpenTimes{{0, 20}, {kMinutesAWeek - 10, kMinutesAWeek}}));
}

TEST(ClockWeek, QueuesRunsThatWouldOverlap) {
  EXPECT_EQ(OpenMinutes(ClockWeek(PlainForm(), One({60, 70}, 30, kEveryWeekday))), 7 * 60);
}

TEST(ClockWeek, IsEmptyWhereTheTimerIsOff) {
  TimerSettings settings = One({60}, 30, kEveryWeekday);
  settings.on = false;
  EXPECT_TRUE(ClockWeek(PlainForm(), settings).empty());
}

// The oracle: every run of half a year falls inside the week's times.
TEST(ClockWeek, CoversEveryRunOfHalfAYear) {
  std::mt19937_64 random(20261125);
  const auto pick = [&](int below) { return std::uniform_int_distribution<int>(0, below - 1)(random); };
  for (int turn = 0; turn < 40; ++turn) {
    const std::vector<DayPattern> kinds = {Weekdays{static_cast<unsigned>(1 + pick(127))}, OddDates{},
                                           EvenDates{}, EveryNDays{1 + pick(9), {}}};
    const TimerSettings settings =
        One({pick(kMinutesADay)}, 1 + pick(300), kinds[static_cast<size_t>(pick(4))]);
    const OpenTimes times = ClockWeek(PlainForm(), settings);
    const Date monday(std::chrono::year(2026), std::chrono::month(1), std::chrono::day(5));
    const MinuteInstant begin = std::chrono::sys_days(monday);
    const std::vector<lastreach::Run> runs =
        ExpandRuns(PlainForm(), settings, Zone::Utc(), {monday, AddDays(monday, 180)}, ClockState{});
    ASSERT_FALSE(runs.empty());
    for (const lastreach::Run& run : runs) {
      for (int m = 0; m < run.minutes; ++m) {
        const auto minute = static_cast<int>((run.start - begin).count() + m) % kMinutesAWeek;
        ASSERT_TRUE(IsOpenAt(times, minute)) << turn << " minute " << minute;
      }
    }
  }
}

TEST(ShiftedTimes, AreOpenWhereSomeShiftIs) {
  std::mt19937_64 random(7);
  const auto pick = [&](int below) { return std::uniform_int_distribution<int>(0, below - 1)(random); };
  for (int turn = 0; turn < 5; ++turn) {
    const OpenTimes times = ClockWeek(PlainForm(), One({pick(700), 720 + pick(700)}, 1 + pick(40),
                                                       Weekdays{static_cast<unsigned>(1 + pick(127))}));
    const OpenTimes shifted = ShiftedTimes(times, -60, 60);
    for (int minute = 0; minute < kMinutesAWeek; ++minute) {
      bool open = false;
      for (int shift = -60; shift <= 60 && !open; ++shift) {
        open = IsOpenAt(times, (minute - shift + kMinutesAWeek) % kMinutesAWeek);
      }
      ASSERT_EQ(IsOpenAt(shifted, minute), open) << minute;
    }
  }
}

}  // namespace
}  // namespace lastreach
