#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "import/cell_choices.h"
#include "import/cell_words.h"
#include "import/dates.h"
#include "import/day_words.h"
#include "import/local_times.h"
#include "import/numbers.h"
#include "import/pipe_words.h"
#include "import/reading.h"
#include "import/units.h"

namespace lastreach {
namespace {

using testing::HasSubstr;

double Value(const char* text, DecimalMark mark = DecimalMark::kPoint) {
  const auto number = ParseNumber(text, mark);
  EXPECT_TRUE(number.ok()) << text;
  return number.ok() ? number->value : -1;
}

TEST(EditDistance, CountsChangesAdditionsLossesAndSwaps) {
  EXPECT_EQ(EditDistance("length", "length"), 0);
  EXPECT_EQ(EditDistance("lenght", "length"), 1);
  EXPECT_EQ(EditDistance("adress", "address"), 1);
  EXPECT_EQ(EditDistance("kitten", "sitting"), 3);  // SOURCE: textbook example; from memory
  EXPECT_EQ(EditDistance("", "abc"), 3);
}

// The slow oracle: the definition, by trying every edit at the end of both texts.
int SlowDistance(std::string_view a, std::string_view b) {
  if (a.empty() || b.empty()) return static_cast<int>(a.size() + b.size());
  const std::string_view front_a = a.substr(0, a.size() - 1);
  const std::string_view front_b = b.substr(0, b.size() - 1);
  int least = std::min({SlowDistance(front_a, b) + 1, SlowDistance(a, front_b) + 1,
                        SlowDistance(front_a, front_b) + (a.back() == b.back() ? 0 : 1)});
  if (a.size() > 1 && b.size() > 1 && a.back() == b[b.size() - 2] && b.back() == a[a.size() - 2]) {
    least = std::min(least, SlowDistance(a.substr(0, a.size() - 2), b.substr(0, b.size() - 2)) + 1);
  }
  return least;
}

TEST(EditDistance, AgreesWithTheDefinitionOnAllShortTexts) {
  std::vector<std::string> texts = {""};
  for (size_t i = 0; texts[i].size() < 4; ++i) {
    for (const char c : {'a', 'b', 'c'}) texts.push_back(texts[i] + c);
  }
  for (const std::string& a : texts) {
    for (const std::string& b : texts) ASSERT_EQ(EditDistance(a, b), SlowDistance(a, b)) << a << " " << b;
  }
}

TEST(SaysUnknown, KnowsTheWaysOfNotKnowing) {
  for (const char* text : {"", "  ", "UNK", "n/a", "N/A", "-", "--", "?", "??", "TBD", "unknown", "-9.99",
                           "-999", "don't know", "#N/A", "\xE2\x80\x93"}) {
    EXPECT_TRUE(SaysUnknown(text)) << text;
  }
  for (const char* text : {"0", "-0.2", "none", "ND", "300?", "no"}) EXPECT_FALSE(SaysUnknown(text)) << text;
}

TEST(ParseNumber, ReadsThousandsAndDecimalMarksOfEitherKind) {
  EXPECT_EQ(Value("1,200"), 1200);
  EXPECT_EQ(Value("1,234,567"), 1234567);
  EXPECT_EQ(Value("1 200"), 1200);
  EXPECT_EQ(Value("1'200"), 1200);
  EXPECT_EQ(Value("1,234.5"), 1234.5);
  EXPECT_EQ(Value("1.234,5"), 1234.5);
  EXPECT_EQ(Value("1.234.567"), 1234567);
  EXPECT_EQ(Value("0,4"), 0.4);
  EXPECT_EQ(Value("0,400"), 0.4);
  EXPECT_EQ(Value("12,75"), 12.75);
  EXPECT_EQ(Value(".5"), 0.5);
  EXPECT_EQ(Value("300."), 300);
  EXPECT_EQ(Value("-0.2"), -0.2);
  EXPECT_EQ(Value("2.5E+3"), 2500);
  EXPECT_EQ(Value("000123"), 123);
}

TEST(ParseNumber, TakesAnAmbiguousMarkAsTheColumnHasIt) {
  EXPECT_EQ(Value("1.200"), 1.2);
  EXPECT_EQ(Value("1.200", DecimalMark::kComma), 1200);
  EXPECT_EQ(Value("1,200", DecimalMark::kComma), 1.2);
  EXPECT_EQ(DecimalMarkOf({"0,4", "1,200"}), DecimalMark::kComma);
  EXPECT_EQ(DecimalMarkOf({"0,4", "1.25"}), DecimalMark::kPoint);
  EXPECT_EQ(DecimalMarkOf({"1,200", "300"}), DecimalMark::kPoint);
  EXPECT_EQ(DecimalMarkOf({"-97,5", "-97,499"}), DecimalMark::kComma);
}

TEST(ParseNumber, HearsAbout) {
  for (const char* text :
       {"about 300", "~300", "300?", "approx. 300", "ca 300", "300 est.", "\xE2\x89\x88 300", "300 (est)"}) {
    const auto number = ParseNumber(text);
    ASSERT_TRUE(number.ok()) << text;
    EXPECT_EQ(number->value, 300) << text;
    EXPECT_TRUE(number->about) << text;
    EXPECT_EQ(number->rest, "") << text;
  }
  EXPECT_FALSE(ParseNumber("300")->about);
}

TEST(ParseNumber, LeavesWhatFollows) {
  EXPECT_EQ(ParseNumber("300 ft")->rest, "ft");
  EXPECT_EQ(ParseNumber("6\"")->rest, "\"");
  EXPECT_EQ(ParseNumber("300'")->rest, "'");
  EXPECT_EQ(ParseNumber("0.6T")->rest, "T");
  EXPECT_EQ(ParseNumber("1 1/2 in")->value, 1.5);
  EXPECT_EQ(ParseNumber("2-1/2\"")->value, 2.5);
  EXPECT_EQ(ParseNumber("3/4")->value, 0.75);
  EXPECT_EQ(ParseNumber("2\xC2\xBD")->value, 2.5);
}

TEST(ParseNumber, RefusesWhatIsNoNumber) {
  for (const char* text : {"", "abc", "O.4", "1,20,0", "12,34,567.8.9", "-", "about", "1.2.3.4"})
    EXPECT_FALSE(ParseNumber(text).ok()) << text;
}

TEST(FindUnit, KnowsTheSpellingsOfTheTrade) {
  EXPECT_EQ(FindUnit(Dimension::kLength, "(ft.)")->name, "ft");
  EXPECT_EQ(FindUnit(Dimension::kLength, "'")->name, "ft");
  EXPECT_EQ(FindUnit(Dimension::kDiameter, "In.")->name, "in");
  EXPECT_EQ(FindUnit(Dimension::kFlow, "US GPM")->name, "gpm");
  EXPECT_EQ(FindUnit(Dimension::kFlow, "m\xC2\xB3/h")->name, "m3/h");
  EXPECT_EQ(FindUnit(Dimension::kVolume, "x 100 gal")->name, "100 gal");
  EXPECT_EQ(FindUnit(Dimension::kVolume, "kgal")->name, "1000 gal");
  EXPECT_EQ(FindUnit(Dimension::kVolume, "Imp. gal")->name, "imperial gal");
  EXPECT_EQ(FindUnit(Dimension::kTemperature,
                     "\xC2\xB0"
                     "F")
                ->name,
            "F");
  EXPECT_FALSE(FindUnit(Dimension::kLength, "gpm").has_value());
}

// SOURCE: NIST SP 811 (2008), Appendix B.8: 1 ft = 0.3048 m, 1 in = 25.4 mm, 1 gal = 3.785 412 E-03 m3,
// 1 ft3 = 2.831 685 E-02 m3, 1 imperial gal = 4.546 09 E-03 m3, 1 gpm = 6.309 020 E-05 m3/s. Printed digits.
TEST(FindUnit, FactorsAreThoseOfThePublishedTable) {
  EXPECT_NEAR(FindUnit(Dimension::kLength, "ft")->factor, 0.3048, 1e-12);
  EXPECT_NEAR(FindUnit(Dimension::kDiameter, "in")->factor, 0.0254, 1e-12);
  EXPECT_NEAR(FindUnit(Dimension::kVolume, "gal")->factor, 3.785412e-3, 5e-10);
  EXPECT_NEAR(FindUnit(Dimension::kVolume, "CCF")->factor, 2.831685, 5e-7);
  EXPECT_NEAR(FindUnit(Dimension::kVolume, "igal")->factor, 4.54609e-3, 1e-15);
  EXPECT_NEAR(FindUnit(Dimension::kFlow, "gpm")->factor, 6.309020e-5, 5e-12);
  const Unit fahrenheit = *FindUnit(Dimension::kTemperature, "F");
  EXPECT_NEAR(212 * fahrenheit.factor + fahrenheit.offset, 100, 1e-12);
  EXPECT_NEAR(32 * fahrenheit.factor + fahrenheit.offset, 0, 1e-12);
}

// SOURCE: ISO 6708:1995, 2.1: DN and a whole number name a size, near the bore in millimetres; ASME B36.10:
// NPS names it in inches. From memory.
TEST(UnitBehind, TurnsASizeAfterItsUnit) {
  for (const char* text : {"DN150", "DN 150", "dn150", " Dn  150"}) {
    const auto number = ParseNumber(UnitBehind(Dimension::kDiameter, text));
    ASSERT_TRUE(number.ok()) << text;
    EXPECT_EQ(number->value, 150) << text;
    EXPECT_EQ(FindUnit(Dimension::kDiameter, number->rest)->name, "mm") << text;
  }
  EXPECT_EQ(UnitBehind(Dimension::kDiameter, "NPS 6"), "6 NPS");
  EXPECT_EQ(FindUnit(Dimension::kDiameter, "NPS")->name, "in");
  for (const char* text : {"150", "6 in", "six", "-6", "about 6", ""})
    EXPECT_EQ(UnitBehind(Dimension::kDiameter, text), text);
  EXPECT_EQ(UnitBehind(Dimension::kLength, "DN150"), "DN150");
}

TEST(TakeApart, SeparatesAHeadingFromItsUnit) {
  EXPECT_EQ(TakeApart("Dia. (in.)", Dimension::kDiameter).words, "dia");
  EXPECT_EQ(TakeApart("Dia. (in.)", Dimension::kDiameter).unit->name, "in");
  EXPECT_EQ(TakeApart("Flow, L/s", Dimension::kFlow).words, "flow");
  EXPECT_EQ(TakeApart("Meter read x 100 gal", Dimension::kVolume).words, "meter read");
  EXPECT_EQ(TakeApart("Meter read x 100 gal", Dimension::kVolume).unit->name, "100 gal");
  EXPECT_EQ(TakeApart("GPM", Dimension::kFlow).unit->name, "gpm");
}

std::string Iso(const char* text, std::optional<DateOrder> order = {}) {
  const auto day = ParseDay(text, order);
  return day.ok() ? FormatDate(day->day) : day.error().message;
}

TEST(ParseDay, ReadsEveryUsualForm) {
  for (const char* text : {"2026-07-03", "2026/07/03", "2026/7/3", "20260703", "3 Jul 26", "3-Jul-2026",
                           "Jul 3, 2026", "July 3 2026", "Fri 3 July 2026", "3rd of July 2026",
                           "2026-07-03T13:10", "46206", "Friday, July 3rd, 2026"}) {
    EXPECT_EQ(Iso(text), "2026-07-03") << text;
  }
  EXPECT_EQ(Iso("23/7/2026"), "2026-07-23");
  EXPECT_EQ(Iso("7/23/26"), "2026-07-23");
  EXPECT_EQ(Iso("3.7.26", DateOrder::kDayFirst), "2026-07-03");
  EXPECT_EQ(Iso("7/3/2026", DateOrder::kMonthFirst), "2026-07-03");
  EXPECT_EQ(Iso("7/7/2026"), "2026-07-07");
}

TEST(ParseDay, NeverGuessesWhichNumberIsTheDay) {
  EXPECT_THAT(Iso("03/04/2026"), HasSubstr("either way about"));
  EXPECT_EQ(DateOrderOf({"03/04/2026", "13/04/2026"}), DateOrder::kDayFirst);
  EXPECT_EQ(DateOrderOf({"03/04/2026", "04/13/2026"}), DateOrder::kMonthFirst);
  EXPECT_EQ(DateOrderOf({"03/04/2026", "13/04/2026", "04/13/2026"}), std::nullopt);
  EXPECT_EQ(DateOrderOf({"2026-04-13", "3 Jul 26"}), std::nullopt);
}

TEST(ParseDay, RefusesWhatIsNoDay) {
  for (const char* text :
       {"", "yesterday", "31/06/2026", "2026-02-30", "0.5", "12", "13:10", "July", "32 Jul 2026", "3/7"}) {
    EXPECT_FALSE(ParseDay(text, DateOrder::kDayFirst).ok()) << text;
  }
}

TEST(ParseDay, GivesBackTheTimeBehindTheDate) {
  EXPECT_EQ(ParseDay("7/3/2026 1:10 PM", DateOrder::kMonthFirst)->time, "1:10 PM");
  EXPECT_EQ(ParseDay("2026-07-03T13:10", {})->time, "13:10");
  EXPECT_EQ(ParseDay("46206.5", {})->time, "0.5");
}

TEST(ParseClock, ReadsBothClocks) {
  for (const char* text : {"1:10 am", "1:10AM", "01:10", "0110", "1.10 in the morning", "1:10 a.m.", "1h10",
                           "110", "01:10:00", "0.048611111"}) {
    ASSERT_TRUE(ParseClock(text).ok()) << text;
    EXPECT_EQ(*ParseClock(text), 70) << text;
  }
  for (const char* text :
       {"1:10 pm", "13:10", "1310", "13.10", "1:10 P.M.", "1.10 in the afternoon", "13:10 hrs"}) {
    ASSERT_TRUE(ParseClock(text).ok()) << text;
    EXPECT_EQ(*ParseClock(text), 790) << text;
  }
  EXPECT_EQ(*ParseClock("12:10 am"), 10);
  EXPECT_EQ(*ParseClock("12 pm"), 720);
  EXPECT_EQ(*ParseClock("noon"), 720);
  EXPECT_EQ(*ParseClock("midnight"), 0);
  EXPECT_EQ(*ParseClock("4 am"), 240);
}

TEST(ParseClock, RefusesWhatIsNoTime) {
  for (const char* text : {"", "25:00", "13:75", "4", "13:10 am", "soon", "1:1", "24:00", "12345"})
    EXPECT_FALSE(ParseClock(text).ok()) << text;
}

TEST(ParseClocks, ReadsALidFullOfStarts) {
  for (const char* text : {"1:10 AM, 1:10 PM", "0110 1310", "1:10 and 13:10", "1:10am/1:10pm", "01:10; 13:10",
                           "1:10 am & 1:10 pm", "1:10 AM\n1:10 PM"}) {
    ASSERT_TRUE(ParseClocks(text).ok()) << text;
    EXPECT_EQ(*ParseClocks(text), (std::vector<int>{70, 790})) << text;
  }
  EXPECT_FALSE(ParseClocks("1:10, later").ok());
}

TEST(ParseMinutes, ReadsDurations) {
  for (const char* text :
       {"75", "75 min", "1 h 15", "1h15m", "1:15", "1.25 h", "75m", "1 hr 15 mins", "01:15:00"}) {
    ASSERT_TRUE(ParseMinutes(text).ok()) << text;
    EXPECT_EQ(*ParseMinutes(text), 75) << text;
  }
  for (const char* text : {"", "7.5", "-3", "30 s", "long", "1 h 2 h", "2000"})
    EXPECT_FALSE(ParseMinutes(text).ok()) << text;
}

TEST(ParseDays, ReadsDaysOfTheWeek) {
  const DayPattern mon_wed_fri = Weekdays{0x15};
  for (const char* text : {"M W F", "Mon/Wed/Fri", "MWF", "mon, wed and fri", "Monday Wednesday Friday",
                           "M-W-F", "Mon & Wed & Fri"}) {
    ASSERT_TRUE(ParseDays(text).ok()) << text;
    EXPECT_EQ(*ParseDays(text), mon_wed_fri) << text;
  }
  EXPECT_EQ(*ParseDays("TuTh"), DayPattern(Weekdays{0x0A}));
  EXPECT_EQ(*ParseDays("T Th"), DayPattern(Weekdays{0x0A}));
  EXPECT_EQ(*ParseDays("M-F"), DayPattern(Weekdays{0x1F}));
  EXPECT_EQ(*ParseDays("Mon to Fri"), DayPattern(Weekdays{0x1F}));
  EXPECT_EQ(*ParseDays("Fri-Mon"), DayPattern(Weekdays{0x71}));
  EXPECT_EQ(*ParseDays("M T W T F"), DayPattern(Weekdays{0x1F}));
  EXPECT_EQ(*ParseDays("weekends"), DayPattern(Weekdays{0x60}));
  EXPECT_EQ(*ParseDays("Daily"), DayPattern(kEveryWeekday));
}

TEST(ParseDays, ReadsDatesAndIntervals) {
  EXPECT_EQ(*ParseDays("odd"), DayPattern(OddDates{}));
  EXPECT_EQ(*ParseDays("Even days"), DayPattern(EvenDates{}));
  EXPECT_EQ(*ParseDays("every 3 days"), DayPattern(EveryNDays{3, {}}));
  EXPECT_EQ(*ParseDays("every other day"), DayPattern(EveryNDays{2, {}}));
  EXPECT_EQ(*ParseDays("every 3 days from 1 Jul 2026"), DayPattern(EveryNDays{3, *ParseDate("2026-07-01")}));
}

TEST(ParseDays, RefusesWhatCouldBeTwoDaysOrNone) {
  for (const char* text :
       {"", "S", "MXF", "every 0 days", "sometimes", "every 3 weeks", "every 3 days from whenever"}) {
    EXPECT_FALSE(ParseDays(text).ok()) << text;
  }
}

std::string Read(const char* text) {
  const auto readings = ParseReading(
      text, {Analyte::kFreeChlorine, 1, Concentration::MilligramsPerLitre(0.05), DecimalMark::kPoint});
  if (!readings.ok()) return "refused";
  std::string all;
  for (const ParsedReading& reading : *readings) {
    char one[80];
    std::snprintf(one, sizeof one, "%s%s%.4g %s", all.empty() ? "" : ", ", reading.below_detection ? "<" : "",
                  reading.residual.milligrams_per_litre(), std::string(ToText(reading.analyte)).c_str());
    all += one;
  }
  return all;
}

TEST(ParseReading, ReadsWhatSamplersWrite) {
  EXPECT_EQ(Read("0.6"), "0.6 free chlorine");
  EXPECT_EQ(Read("0,4"), "0.4 free chlorine");
  EXPECT_EQ(Read("<0.1"), "<0.1 free chlorine");
  EXPECT_EQ(Read("< 0.10"), "<0.1 free chlorine");
  EXPECT_EQ(Read("<0.1T"), "<0.1 total chlorine");
  for (const char* text : {"ND", "N.D.", "BDL", "trace", "nd"})
    EXPECT_EQ(Read(text), "<0.05 free chlorine") << text;
  EXPECT_EQ(Read("0.6T"), "0.6 total chlorine");
  EXPECT_EQ(Read("0.6 F"), "0.6 free chlorine");
  EXPECT_EQ(Read("T 0.6"), "0.6 total chlorine");
  EXPECT_EQ(Read("Total: 0.6 mg/L"), "0.6 total chlorine");
  EXPECT_EQ(Read("0.6 mono"), "0.6 monochloramine");
  EXPECT_EQ(Read("1.2/1.5"), "1.2 free chlorine, 1.5 total chlorine");
  EXPECT_EQ(Read("1.5T/1.2F"), "1.5 total chlorine, 1.2 free chlorine");
  EXPECT_EQ(Read("<0.1/0.3 mg/L"), "<0.1 free chlorine, 0.3 total chlorine");
  EXPECT_EQ(Read("400 ug/L"), "0.4 free chlorine");
  EXPECT_EQ(Read("0"), "0 free chlorine");
}

TEST(ParseReading, RefusesWhatCannotBeAResidual) {
  for (const char* text :
       {"-0.2", "16", ">2.2", "over range", "O.4", "0.5 x", "1.5/1.2", "1/2/3", "0.6T/0.7T", "clear"}) {
    EXPECT_EQ(Read(text), "refused") << text;
  }
}

TEST(ParsePipes, ReadsSeveralPipesOfACell) {
  for (const char* text : {"8in x 1200 ft + 6in x 400 ft", "1200' of 8\"; 400' of 6\"",
                           "8\" x 1,200' then 6\" x 400'", "8 in * 1200 ft and 6 in * 400 ft"}) {
    const auto pipes = ParsePipes(text);
    ASSERT_TRUE(pipes.ok()) << text;
    ASSERT_EQ(pipes->size(), 2U) << text;
    EXPECT_EQ((*pipes)[0].length, Length::Feet(1200)) << text;
    EXPECT_EQ((*pipes)[0].diameter, Diameter::Inches(8)) << text;
    EXPECT_EQ((*pipes)[1].diameter, Diameter::Inches(6)) << text;
  }
  EXPECT_TRUE((*ParsePipes("150mm x about 91 m"))[0].about);
  for (const char* text : {"", "300", "8 x 1200", "8 in", "8 in x 6 in", "8 in x 0 ft"})
    EXPECT_FALSE(ParsePipes(text).ok()) << text;
}

TEST(CellChoices, ReadStateAndPercentAndClock) {
  EXPECT_TRUE(*ParseOnOff("ON"));
  EXPECT_FALSE(*ParseOnOff("winterized"));
  EXPECT_FALSE(ParseOnOff("maybe").ok());
  EXPECT_EQ(*ParsePercent("130 %"), 130);
  EXPECT_EQ(*ParsePercent("130"), 130);
  EXPECT_EQ(*ParsePercent("1.3"), 130);
  EXPECT_EQ(*ParsePercent("3%"), 3);
  EXPECT_FALSE(ParsePercent("lots").ok());
  EXPECT_EQ(*ParseClockOffset("12 min fast"), 12);
  EXPECT_EQ(*ParseClockOffset("slow 5"), -5);
  EXPECT_EQ(*ParseClockOffset("-7"), -7);
  EXPECT_EQ(*ParseClockOffset("1 h slow"), -60);
  EXPECT_EQ(*ParseClockOffset("ok"), 0);
  EXPECT_FALSE(ParseClockOffset("wrong").ok());
}

TEST(CellChoices, ReadWhereTheWaterGoes) {
  EXPECT_EQ(*ReadDischargeTo("curb inlet"), DischargeTo::kStormDrain);
  EXPECT_EQ(*ReadDischargeTo("Storm drain to creek"), DischargeTo::kCreek);  // the creek decides the caution
  EXPECT_EQ(*ReadDischargeTo("grass"), DischargeTo::kGround);
  EXPECT_EQ(*ReadDischargeTo("sanitary sewer"), DischargeTo::kSewer);
  EXPECT_FALSE(ReadDischargeTo("the moon").ok());
}

// SOURCE: US rules since 2007: forward at 2:00 on the second Sunday of March, back at 2:00 on the first
// Sunday of November.
TEST(KindOfLocalTime, FindsTheSkippedAndTheRepeatedHour) {
  const Zone chicago = *Zone::Find("America/Chicago");
  const auto at = [](const char* day, int minute) {
    return Midnight(*ParseDate(day)) + std::chrono::minutes(minute);
  };
  EXPECT_EQ(KindOfLocalTime(chicago, at("2026-03-08", 119)), LocalTimeKind::kOnce);
  EXPECT_EQ(KindOfLocalTime(chicago, at("2026-03-08", 120)), LocalTimeKind::kNever);
  EXPECT_EQ(KindOfLocalTime(chicago, at("2026-03-08", 179)), LocalTimeKind::kNever);
  EXPECT_EQ(KindOfLocalTime(chicago, at("2026-03-08", 180)), LocalTimeKind::kOnce);
  EXPECT_EQ(KindOfLocalTime(chicago, at("2026-11-01", 59)), LocalTimeKind::kOnce);
  EXPECT_EQ(KindOfLocalTime(chicago, at("2026-11-01", 60)), LocalTimeKind::kTwice);
  EXPECT_EQ(KindOfLocalTime(chicago, at("2026-11-01", 119)), LocalTimeKind::kTwice);
  EXPECT_EQ(KindOfLocalTime(chicago, at("2026-11-01", 120)), LocalTimeKind::kOnce);
  EXPECT_EQ(KindOfLocalTime(*Zone::Find("Australia/Lord_Howe"), at("2026-04-05", 105)),
            LocalTimeKind::kTwice);
}

}  // namespace
}  // namespace lastreach
