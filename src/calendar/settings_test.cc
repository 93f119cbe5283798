#include "calendar/settings.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace lastreach {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

int Effective(int minutes, int percent, int step, int least, int most) {
  ControllerForm form;
  form.minutes_step = step;
  form.minutes_min = least;
  form.minutes_max = most;
  TimerSettings settings;
  settings.percent = percent;
  return EffectiveMinutes(form, settings, {{60}, minutes, kEveryWeekday, {}});
}

TEST(EffectiveMinutes, RoundsHalvesUpToTheStep) {
  EXPECT_EQ(Effective(30, 100, 1, 1, 360), 30);
  EXPECT_EQ(Effective(15, 130, 1, 1, 360), 20);  // 19.5
  EXPECT_EQ(Effective(5, 90, 1, 1, 360), 5);     // 4.5
  EXPECT_EQ(Effective(7, 150, 5, 1, 360), 10);   // 10.5
  EXPECT_EQ(Effective(25, 50, 5, 1, 360), 15);   // 12.5 is half way from 10 to 15
}

TEST(EffectiveMinutes, IsHeldWithinTheFormsBounds) {
  EXPECT_EQ(Effective(300, 200, 1, 1, 360), 360);
  EXPECT_EQ(Effective(2, 10, 1, 1, 360), 1);
}

TEST(EffectiveMinutes, TakesTheProgrammesOwnPercentageOnlyWhereTheTimerHasOne) {
  ControllerForm form;
  TimerSettings settings;
  const Programme programme{{60}, 10, kEveryWeekday, 50};
  EXPECT_EQ(EffectiveMinutes(form, settings, programme), 10);
  form.percent_scope = PercentScope::kEach;
  EXPECT_EQ(EffectiveMinutes(form, settings, programme), 5);
}

TEST(WhatCannotBeKeyed, NamesEachItemAndItsBound) {
  ControllerForm form;
  form.programmes = 1;
  form.starts_per_programme = 1;
  form.start_step_minutes = 5;
  form.minutes_max = 60;
  form.percent_step = 10;
  form.day_patterns = std::vector<DayPatternKind>{DayPatternKind::kWeekdays};
  TimerSettings settings;
  settings.percent = 115;
  settings.programmes.push_back({{67, 600}, 90, OddDates{}, {}});
  EXPECT_THAT(
      WhatCannotBeKeyed(form, settings),
      ElementsAre("percentage 115 is not on a step of 10", "programme 1 has 2 starts; the timer takes 1",
                  "programme 1: start 01:07 is not on a step of 5 minutes",
                  "programme 1: 90 minutes is above the most of 60",
                  "programme 1: the timer has no day pattern of the kind 'odd'"));
  EXPECT_THAT(WhatCannotBeKeyed({}, settings), IsEmpty());
}

TEST(Describe, SaysDaysAsPeopleDo) {
  EXPECT_EQ(Describe(DayPattern(kEveryWeekday)), "every day");
  EXPECT_EQ(Describe(DayPattern(Weekdays{0b0010101})), "Monday, Wednesday and Friday");
  EXPECT_EQ(Describe(DayPattern(EveryNDays{3, *ParseDate("2026-07-01")})), "every 3 days from 2026-07-01");
  EXPECT_EQ(Describe(DayPattern(EveryNDays{3, {}})), "every 3 days, first day not known");
}

}  // namespace
}  // namespace lastreach
