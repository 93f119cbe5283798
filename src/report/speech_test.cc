#include "report/speech.h"

#include <gtest/gtest.h>

#include "report/test_plans.h"

namespace lastreach {
namespace {

TEST(Speech, SaysThePartOfTheDayOnceForNeighbours) {
  EXPECT_EQ(TimesInSpeech({60, 540, 1020}), "one and nine in the morning and five in the afternoon");
  EXPECT_EQ(TimesInSpeech({70, 540}), "1:10 and 9:00 in the morning");
  EXPECT_EQ(TimesInSpeech({0, 720, 1080}), "midnight, noon and six in the evening");
  EXPECT_EQ(TimesInSpeech({0, 725}), "12 midnight and 12:05 in the afternoon");
  EXPECT_EQ(TimesInSpeech({30}), "12:30 in the morning");
}

TEST(Speech, SaysBothEndsOfASpan) {
  EXPECT_EQ(SpansInSpeech({{70, 95}}), "1:10 to 1:35 in the morning");
  EXPECT_EQ(SpansInSpeech({{70, 95}, {190, 215}, {790, 815}}),
            "1:10 to 1:35 and 3:10 to 3:35 in the morning and 1:10 to 1:35 in the afternoon");
  EXPECT_EQ(SpansInSpeech({{710, 740}, {800, 810}}),
            "11:50 in the morning to 12:20 in the afternoon and 1:20 to 1:30 in the afternoon");
  EXPECT_EQ(SpansInSpeech({{1430, 1450}}), "11:50 in the evening to 12:10 in the morning");
  EXPECT_EQ(SpansInSpeech({{1420, 1440}}), "11:40 in the evening to 12 midnight");
  EXPECT_EQ(SpansInSpeech({{700, 720}}), "11:40 in the morning to 12 noon");
}

TEST(Speech, SaysDaysAsPeopleDo) {
  EXPECT_EQ(DaysInSpeech(kEveryWeekday), "every day");
  EXPECT_EQ(DaysInSpeech(Weekdays{0x1F}), "Monday to Friday");
  EXPECT_EQ(DaysInSpeech(Weekdays{0x3F}), "every day but Sunday");
  EXPECT_EQ(DaysInSpeech(Weekdays{0x09}), "Monday and Thursday");
  EXPECT_EQ(DaysInSpeech(OddDates{}), "odd dates");
  EXPECT_EQ(DaysInSpeech(EveryNDays{3, {}}), "every three days");
  EXPECT_EQ(DaysInSpeech(EveryNDays{1, {}}), "every day");
  EXPECT_EQ(HoursInSpeech(8.2), "eight hours");
  EXPECT_EQ(HoursInSpeech(76), "three days and four hours");
  EXPECT_EQ(HoursInSpeech(1), "one hour");
}

std::string Said(std::vector<Programme> programmes, int percent = 100) {
  return ScheduleInSpeech(TestForm(), {true, percent, std::move(programmes)});
}

TEST(Speech, TellsSettings) {
  EXPECT_EQ(Said({{{60, 540}, 10, kEveryWeekday, {}}}),
            "ten minutes at one and nine in the morning, every day");
  EXPECT_EQ(Said({{{60}, 10, kEveryWeekday, {}}, {{540}, 10, kEveryWeekday, {}}}),
            "ten minutes at one and nine in the morning, every day");
  EXPECT_EQ(Said({{{60}, 10, Weekdays{1}, {}}, {{540}, 20, OddDates{}, {}}}, 150),
            "15 minutes at one in the morning, Monday, and 30 minutes at nine in the morning, odd dates");
  EXPECT_EQ(Said({{{60, 240, 420, 600, 780, 960, 1140, 1320}, 5, kEveryWeekday, {}}}),
            "five minutes every three hours round the clock, first at one in the morning, every day");
  EXPECT_EQ(Said({{{60, 70, 80, 90, 1320}, 5, kEveryWeekday, {}}}),
            "five minutes, five times between one in the morning and ten in the evening, every day");
  EXPECT_EQ(Said({{{60}, 5, Weekdays{1}, {}},
                  {{60}, 6, Weekdays{2}, {}},
                  {{60}, 7, Weekdays{4}, {}},
                  {{60}, 8, EveryNDays{7, {}}, {}}}),
            "four runs of five to eight minutes a week");
}

TEST(Speech, KnowsWhatMakesNoRuns) {
  EXPECT_TRUE(MakesRuns({true, 100, {{{60}, 5, kEveryWeekday, {}}}}));
  EXPECT_FALSE(MakesRuns({false, 100, {{{60}, 5, kEveryWeekday, {}}}}));
  EXPECT_FALSE(MakesRuns({true, 100, {{{}, 5, kEveryWeekday, {}}}}));
  EXPECT_FALSE(MakesRuns({}));
}

}  // namespace
}  // namespace lastreach
