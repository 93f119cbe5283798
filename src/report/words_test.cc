#include "report/words.h"

#include <gtest/gtest.h>

#include "report/figures.h"
#include "report/test_plans.h"

namespace lastreach {
namespace {

TEST(TimeInWords, NeverLeavesMorningAndAfternoonInDoubt) {
  EXPECT_EQ(TimeInWords(0), "12 midnight");
  EXPECT_EQ(TimeInWords(5), "12:05 in the morning");
  EXPECT_EQ(TimeInWords(70), "1:10 in the morning");
  EXPECT_EQ(TimeInWords(11 * 60 + 59), "11:59 in the morning");
  EXPECT_EQ(TimeInWords(12 * 60), "12 noon");
  EXPECT_EQ(TimeInWords(12 * 60 + 1), "12:01 in the afternoon");
  EXPECT_EQ(TimeInWords(13 * 60 + 10), "1:10 in the afternoon");
  EXPECT_EQ(TimeInWords(17 * 60 + 59), "5:59 in the afternoon");
  EXPECT_EQ(TimeInWords(18 * 60), "6:00 in the evening");
  EXPECT_EQ(TimeInWords(23 * 60 + 55), "11:55 in the evening");
}

TEST(TimeInWords, SaysEveryMinuteOfTheDayDifferently) {
  std::vector<std::string> all;
  for (int minute = 0; minute < 24 * 60; ++minute) all.push_back(TimeInWords(minute));
  std::sort(all.begin(), all.end());
  EXPECT_EQ(std::adjacent_find(all.begin(), all.end()), all.end());
}

TEST(Words, SpeakBothSidesOfTheOcean) {
  const Date date = TestDate(2026, 7, 1);
  EXPECT_EQ(WeekdayAndDate(date, SheetUnits::kMetric), "Wednesday 1 July 2026");
  EXPECT_EQ(WeekdayAndDate(date, SheetUnits::kUs), "Wednesday, July 1, 2026");
  EXPECT_EQ(ShortWeekdayAndDate(date, SheetUnits::kUs), "Wed Jul 1");
  EXPECT_EQ(ProgrammeName(1, SheetUnits::kUs), "Program 2");
  EXPECT_EQ(ProgrammeName(1, SheetUnits::kMetric), "Programme 2");
}

TEST(Words, TellDurations) {
  EXPECT_EQ(MinutesInWords(1), "1 minute");
  EXPECT_EQ(MinutesInWords(90), "90 minutes");
  EXPECT_EQ(MinutesInWords(150), "2 h 30 min");
  EXPECT_EQ(HoursInWords(12), "12 hours");
  EXPECT_EQ(HoursInWords(72), "3 days");
  EXPECT_EQ(HoursInWords(76.4), "3 days 4 hours");
}

TEST(Words, TellDayPatterns) {
  const auto metric = SheetUnits::kMetric;
  EXPECT_EQ(DaysInWords(kEveryWeekday, metric), "every day");
  EXPECT_EQ(DaysInWords(Weekdays{0x15}, metric), "Monday, Wednesday and Friday");
  EXPECT_EQ(DaysInWords(OddDates{}, metric), "odd dates (1, 3, 5 …)");
  EXPECT_EQ(DaysInWords(EveryNDays{3, TestDate(2026, 7, 1)}, metric),
            "every 3 days, the first is Wednesday 1 July 2026");
  EXPECT_EQ(DaysInWords(EveryNDays{3, {}}, metric), "every 3 days, first day not known");
  EXPECT_EQ(DaysInWords(EveryNDays{1, TestDate(2026, 7, 1)}, metric), "every 1 day (each day)");
  EXPECT_EQ(DaysInShort(EveryNDays{1, {}}, metric), "every 1 day");
  EXPECT_EQ(DaysInShort(Weekdays{0x61}, metric), "Mon, Sat, Sun");
}

TEST(Words, PutAllSettingsOnOneLineAndLeaveOutWhatDoesNotRun) {
  TimerSettings settings{true, 130, {{{70, 790}, 12, kEveryWeekday, {}}, {{}, 5, OddDates{}, {}}}};
  EXPECT_EQ(SettingsInOneLine(TestForm(), settings, SheetUnits::kMetric),
            "Programme 1: 01:10 and 13:10, 12 minutes, every day; 130 %");
  settings.on = false;
  EXPECT_EQ(SettingsInOneLine(TestForm(), settings, SheetUnits::kMetric), "OFF");
}

TEST(Figures, HaveNoMoreDigitsThanTheKit) {
  EXPECT_EQ(ThreeDigits(1234.5), "1,230");
  EXPECT_EQ(ThreeDigits(999.7), "1,000");
  EXPECT_EQ(ThreeDigits(1234567), "1,230,000");
  EXPECT_EQ(ThreeDigits(0.5678), "0.568");
  EXPECT_EQ(ThreeDigits(12), "12");
  EXPECT_EQ(ThreeDigits(0), "0");
  EXPECT_EQ(ThreeDigits(-4321), "-4,320");
  EXPECT_EQ(ResidualText(0.437), "0.4 mg/L");
  EXPECT_EQ(ResidualText(0.02), "under 0.1 mg/L");
  EXPECT_EQ(SurenessText(0.934), "93 %");
  EXPECT_EQ(SurenessText(1), "over 99 %");
  EXPECT_EQ(SurenessText(0), "under 1 %");
}

TEST(Figures, NeverRoundAResidualUpToItsTarget) {
  for (double target = 0.1; target < 1.05; target += 0.1) {
    for (double residual = 0; residual < target - 1e-9; residual += 0.01) {
      EXPECT_NE(ResidualText(residual, target), ResidualText(target, target)) << residual << " of " << target;
    }
  }
  EXPECT_EQ(ResidualText(0.37, 0.4), "just under 0.4 mg/L");
  EXPECT_EQ(ResidualText(0.4, 0.4), "0.4 mg/L");
}

// NIST SP 811: 1 US gal = 231 in3; 60 gpm = 3.785 L/s.
TEST(Figures, SpeakTheUnitsAskedFor) {
  EXPECT_EQ(VolumeText(Volume::Gallons(720), SheetUnits::kUs), "720 gal");
  EXPECT_EQ(VolumeText(Volume::Gallons(720), SheetUnits::kMetric), "2,730 L");
  EXPECT_EQ(VolumeText(Volume::CubicMetres(27.34), SheetUnits::kMetric), "27.3 m³");
  EXPECT_EQ(FlowText(Flow::GallonsPerMinute(60), SheetUnits::kUs), "60 gpm");
  EXPECT_EQ(FlowText(Flow::GallonsPerMinute(60), SheetUnits::kMetric), "3.79 L/s");
  EXPECT_EQ(WaterText(5.45, SheetUnits::kUs), "1,440 gal");
  EXPECT_EQ(LengthText(300, SheetUnits::kUs), "984 ft");
  EXPECT_EQ(TemperatureText(25, SheetUnits::kUs), "77 °F");
}

}  // namespace
}  // namespace lastreach
