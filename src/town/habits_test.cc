#include "town/habits.h"

#include <gtest/gtest.h>

#include <cmath>

#include "town/town_ends.h"

namespace lastreach {
namespace {

const Habit& HabitOf(const std::string& code) {
  for (const Habit& habit : Habits()) {
    if (habit.code == code) return habit;
  }
  ADD_FAILURE() << code;
  return Habits().front();
}

Date On(unsigned month, unsigned day) {
  return std::chrono::year(2026) / std::chrono::month(month) / std::chrono::day(day);
}

TEST(Habits, ThereIsOneForEveryDeviceInOrder) {
  ASSERT_EQ(Habits().size(), Devices().size());
  for (size_t i = 0; i < Habits().size(); ++i) EXPECT_EQ(Habits()[i].code, Devices()[i].code);
}

// The minute-by-minute oracle walks back until a start stands on the clock.
TEST(Habits, HoursSinceTheRunAreThoseOfAWalkBackMinuteByMinute) {
  for (const Habit& habit : Habits()) {
    for (const auto& [date, minute] :
         {std::pair{On(6, 10), 500}, {On(7, 1), 60}, {On(8, 3), 1439}, {On(8, 31), 0}}) {
      int back = 0;
      for (; back <= 21 * 1440; ++back) {
        const int total = DayNumber(date) * 1440 + minute - back;
        const bool a_start = std::count(habit.starts_min.begin(), habit.starts_min.end(), total % 1440) > 0;
        if (a_start && MinutesOn(habit, DateOfDayNumber(total / 1440)) > 0) break;
      }
      if (back < 20 * 1440) {
        EXPECT_EQ(std::lround(HoursSinceRun(habit, date, minute) * 60), back) << habit.code;
      } else {
        EXPECT_GE(HoursSinceRun(habit, date, minute), 20 * 24) << habit.code;
      }
    }
  }
}

TEST(Habits, AnOddDeviceRunsTwoDaysRunningAtTheEndOfJuly) {
  EXPECT_GT(MinutesOn(HabitOf("D03"), On(7, 31)), 0);
  EXPECT_GT(MinutesOn(HabitOf("D03"), On(8, 1)), 0);
  EXPECT_EQ(MinutesOn(HabitOf("D03"), On(8, 2)), 0);
}

TEST(Habits, ThirtyMinutesBecomeFiftyFourInTanneryRoad) {
  EXPECT_EQ(MinutesOn(HabitOf("D06"), On(5, 17)), 30);
  EXPECT_EQ(MinutesOn(HabitOf("D06"), On(5, 18)), 36);
  EXPECT_EQ(MinutesOn(HabitOf("D06"), On(7, 6)), 54);
}

TEST(Habits, TheFreeChlorineSettingNeverEnds) {
  const Habit& habit = HabitOf("D17");
  EXPECT_EQ(MinutesOn(habit, On(5, 21)), 15);  // a Thursday
  EXPECT_EQ(MinutesOn(habit, On(5, 22)), 0);
  EXPECT_EQ(MinutesOn(habit, On(5, 29)), 30);  // a Friday
  EXPECT_EQ(MinutesOn(habit, On(8, 31)), 30);
}

// By hand: 54 h x 60 min/h x 45 gal/min = 145,800 gal, and four runs of 20 min between 13 and 23 July.
TEST(Habits, TheStuckValveLosesAHundredAndFortyFiveThousandGallons) {
  const Habit& habit = HabitOf("D22");
  EXPECT_DOUBLE_EQ(GallonsBefore(habit, On(7, 24)) - GallonsBefore(habit, On(7, 12)), 145800 + 4 * 20 * 45);
}

TEST(Habits, NothingRunsBeforeTheSpringStartUp) {
  for (const Habit& habit : Habits()) EXPECT_EQ(GallonsBefore(habit, On(4, 1)), 0) << habit.code;
}

TEST(Habits, TheResidualSinksUntilTheNextRun) {
  const Habit& habit = HabitOf("D07");
  EXPECT_GT(Residual_mg_per_l(habit, On(7, 1), 920), Residual_mg_per_l(habit, On(7, 2), 900));
  EXPECT_NEAR(Residual_mg_per_l(habit, On(7, 2), 915 - 720),
              habit.fresh_mg_per_l * std::exp(-habit.decay_per_day / 2), 1e-12);
}

}  // namespace
}  // namespace lastreach
