#include "report/public_words.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <random>

#include "report/phone_script.h"
#include "report/signs.h"
#include "report/test_pages.h"
#include "report/test_plans.h"

namespace lastreach {
namespace {

using testing::HasSubstr;
using testing::Not;

const Zone kChicago = *Zone::Find("America/Chicago");

// Summer time ends on 1 November 2026.
std::string Hours(const TimerSettings& settings, std::optional<bool> follows, Date from, Date to) {
  ControllerForm form = TestForm();
  form.follows_clock_change = follows;
  return PublicHoursInWords(PublicHours(form, settings, kChicago, {from, to}, SheetUnits::kUs),
                            SheetUnits::kUs);
}

const Date kJuly = TestDate(2026, 7, 1);
const Date kOctober = TestDate(2026, 10, 1);
const Date kDecember = TestDate(2026, 12, 1);

TEST(PublicHours, AreThoseOfEverybodysClock) {
  const TimerSettings settings{true, 100, {{{70}, 25, Weekdays{0x09}, {}}}};
  EXPECT_EQ(Hours(settings, true, kJuly, kOctober), "1:10 to 1:35 in the morning, Monday and Thursday");
  EXPECT_EQ(Hours(settings, false, kJuly, kOctober), "2:10 to 2:35 in the morning, Monday and Thursday");
  EXPECT_EQ(Hours(settings, {}, kJuly, kOctober),
            "2:10 to 2:35 in the morning, Monday and Thursday, or an hour earlier");
}

TEST(PublicHours, AreToldOnBothSidesOfAClockChange) {
  const TimerSettings settings{true, 100, {{{70}, 25, Weekdays{0x09}, {}}}};
  EXPECT_EQ(Hours(settings, false, kOctober, kDecember),
            "until Oct 31 2:10 to 2:35 in the morning, Monday and Thursday; from Nov 1 1:10 to 1:35 in the "
            "morning, Monday and Thursday");
  EXPECT_EQ(Hours(settings, true, kOctober, kDecember), "1:10 to 1:35 in the morning, Monday and Thursday");
  EXPECT_EQ(Hours(settings, {}, kOctober, kDecember),
            "until Oct 31 2:10 to 2:35 in the morning, Monday and Thursday, or an hour earlier; from Nov 1 "
            "1:10 to 1:35 in the morning, Monday and Thursday");
}

TEST(PublicHours, TellNeighboursAsOneRun) {
  EXPECT_EQ(Hours({true, 100, {{{70, 90}, 10, kEveryWeekday, {}}, {{105}, 5, kEveryWeekday, {}}}}, true,
                  kJuly, kOctober),
            "1:10 to 1:50 in the morning, every day");
  EXPECT_EQ(Hours({true, 100, {{{70, 95}, 10, kEveryWeekday, {}}}}, true, kJuly, kOctober),
            "1:10 to 1:20 and 1:35 to 1:45 in the morning, every day");
  // Asked to start together, one waits for the other.
  ControllerForm form = TestForm();
  form.follows_clock_change = true;
  form.overlap = Overlap::kQueue;
  const TimerSettings both{true, 100, {{{70}, 30, kEveryWeekday, {}}, {{70}, 30, kEveryWeekday, {}}}};
  EXPECT_EQ(PublicHoursInWords(PublicHours(form, both, kChicago, {kJuly, kOctober}, SheetUnits::kUs),
                               SheetUnits::kUs),
            "1:10 to 2:10 in the morning, every day");
  EXPECT_EQ(Hours({true, 100, {{{0, 360, 720, 1080}, 360, kEveryWeekday, {}}}}, true, kJuly, kOctober),
            "round the clock, every day");
}

TEST(PublicHours, CountOnTheDayTheRunIsSeen) {
  EXPECT_EQ(Hours({true, 100, {{{1410}, 10, Weekdays{0x01}, {}}}}, false, kJuly, kOctober),
            "12:30 to 12:40 in the morning, Tuesday");
  EXPECT_EQ(Hours({true, 100, {{{1410}, 10, OddDates{}, {}}}}, false, kJuly, kOctober),
            "12:30 to 12:40 in the morning, the day after an odd date");
  EXPECT_EQ(Hours({true, 100, {{{70}, 10, EvenDates{}, {}}}}, false, kJuly, kOctober),
            "2:10 to 2:20 in the morning, even dates");
  EXPECT_EQ(Hours({true, 100, {{{1410}, 10, EveryNDays{3, kJuly}, {}}}}, false, kJuly, kOctober),
            "12:30 to 12:40 in the morning, every three days, counted from Jul 2");
}

TEST(PublicHours, AreNoneWhereNothingRuns) {
  EXPECT_EQ(Hours({false, 100, {{{70}, 25, kEveryWeekday, {}}}}, true, kJuly, kOctober), "");
  EXPECT_EQ(Hours({true, 100, {}}, true, kJuly, kOctober), "");
}

// Whatever is keyed, every run of the season is inside hours that were told for its day, but for the night of
// a clock change.
TEST(PublicHours, CoverEveryRunOfTheCalendar) {
  std::mt19937 random(20261101);
  const auto pick = [&](int least, int most) {
    return least + static_cast<int>(random() % static_cast<unsigned>(most - least + 1));
  };
  int seen = 0;
  for (int round = 0; round < 60; ++round) {
    ControllerForm form = TestForm();
    form.follows_clock_change = pick(0, 1) == 1;
    form.overlap = static_cast<Overlap>(pick(0, 3));
    TimerSettings settings;
    for (int programme = pick(1, 3); programme > 0; --programme) {
      Programme made{{}, pick(1, 90), Weekdays{static_cast<unsigned>(pick(1, 127))}, {}};
      for (int start = pick(1, 4); start > 0; --start) made.starts_min.push_back(5 * pick(0, 287));
      settings.programmes.push_back(made);
    }
    const DateWindow window{kOctober, TestDate(2026, 11, 25)};
    const auto hours = PublicHours(form, settings, kChicago, window, SheetUnits::kUs);
    for (const lastreach::Run& run :
         ExpandRuns(form, settings, kChicago, window, {*form.follows_clock_change, 0})) {
      const LocalTime local = kChicago.ToLocal(run.start);
      const Date day(std::chrono::floor<std::chrono::days>(local));
      if (day == TestDate(2026, 11, 1)) continue;
      const int from =
          static_cast<int>(std::chrono::floor<std::chrono::minutes>(local - Midnight(day)).count());
      bool told = false;
      for (const HoursOfStretch& stretch : hours) {
        if (day < stretch.from || day >= stretch.to) continue;
        for (const DayHours& kind : stretch.days) {
          const bool today = kind.days.find(std::string(WeekdayName(day))) != std::string::npos;
          const bool but_today = kind.days == "every day but " + std::string(WeekdayName(day));
          const bool in_range = kind.days == "Monday to Friday" && WeekdayName(day)[0] != 'S';
          if (but_today || !(today || in_range || kind.days.starts_with("every day"))) continue;
          for (const ClockSpan& span : kind.spans)
            told = told || (span.from_min <= from && from + run.minutes <= span.to_min);
        }
      }
      EXPECT_TRUE(told) << FormatLocal(local) << " in " << PublicHoursInWords(hours, SheetUnits::kUs);
      ++seen;
    }
  }
  EXPECT_GT(seen, 5000);
}

SheetOptions Options(Paper paper, const std::string& phone = "555 0100") {
  SheetOptions options;
  options.paper = paper;
  options.printed_on = TestDate(2026, 6, 22);
  options.emergency_phone = phone;
  return options;
}

TEST(Sign, SaysWhenWhyAndWhomToAsk) {
  DevicePlan device = TestDevice();
  device.settings = {true, 100, {{{70}, 25, Weekdays{0x09}, {}}}};
  device.form.follows_clock_change = true;
  EXPECT_EQ(
      SignInOneLine(SignFor(device, TestPlan({device}), kChicago, Options(Paper::kA4))),
      "This water runs on purpose: 1:10 to 1:35 in the morning, Monday and Thursday. It keeps the water in "
      "this street fresh. Questions, or running at another hour: 555 0100.");
}

TEST(Signs, AreTwoAPageAndOnlyWhereWaterRuns) {
  const TestFolder folder;
  DevicePlan silent = TestDevice();
  silent.settings.on = false;
  DevicePlan unknown = TestDevice();
  unknown.verdict = Verdict::kTooLittleKnown;
  unknown.present.reset();
  DevicePlan kept_on = TestDevice();
  kept_on.verdict = Verdict::kCannotHold;  // what is keyed now runs on
  const SystemPlan plan = TestPlan({TestDevice(), silent, unknown, TestDevice(), kept_on});
  ASSERT_TRUE(WriteSigns(plan, Options(Paper::kLetter), folder / "signs.pdf").ok());
  EXPECT_THAT(OutputOf("pdfinfo '" + folder / "signs.pdf'"), HasSubstr("Pages:           2\n"));
  const std::string words = WordsOf(folder / "signs.pdf");
  EXPECT_THAT(words, HasSubstr("Every day 2:10 to 2:22 in the morning 2:10 to 2:22 in the afternoon"));
  EXPECT_THAT(words,
              HasSubstr("FP-014, End of Heron Lane, at no. 27. These hours hold until September 30, 2026."));
  // Present settings on a clock 7 minutes fast: 01:10 comes at 02:03 summer time.
  EXPECT_THAT(words, HasSubstr("Monday, Wednesday and Friday 2:03 to 2:42 in the morning"));
  ASSERT_TRUE(WriteSigns(TestPlan({silent}), Options(Paper::kA4), folder / "none.pdf").ok());
  EXPECT_THAT(WordsOf(folder / "none.pdf"), HasSubstr("no sign is needed"));
}

TEST(Signs, TakeManyHoursAndLongNames) {
  const TestFolder folder;
  DevicePlan device = TestDevice();
  device.settings.programmes.clear();
  for (unsigned day = 0; day < 7; ++day)
    device.settings.programmes.push_back(
        {{static_cast<int>(60 * day), 400, 900, 1300}, 7, Weekdays{1U << day}, {}});
  device.point.place = std::string(90, 'W') + " " + std::string(90, 'W');
  for (const Paper paper : {Paper::kA4, Paper::kLetter}) {
    const Status status =
        WriteSigns(TestPlan({TestDevice(), device, TestDevice()}), Options(paper), folder / "signs.pdf");
    ASSERT_TRUE(status.ok()) << status.error().ToString();
    EXPECT_THAT(OutputOf("pdfinfo '" + folder / "signs.pdf'"), HasSubstr("Pages:           3\n"));
    EXPECT_THAT(WordsOf(folder / "signs.pdf"), HasSubstr("Sunday"));
  }
}

TEST(PhoneScript, TellsPlannedHoursAndThoseUntilThen) {
  const TestFolder folder;
  DevicePlan other = TestDevice();
  other.point.code = PointCode("FP-001");
  other.point.place = "Alder Row";
  other.verdict = Verdict::kTooLittleKnown;
  other.present.reset();
  const SystemPlan plan = TestPlan({TestDevice(), other});
  ASSERT_TRUE(WritePhoneScript(plan, Options(Paper::kLetter, ""), folder / "phone.pdf").ok());
  const std::string words = WordsOf(folder / "phone.pdf");
  EXPECT_THAT(words, HasSubstr("call ____________________ at once"));
  EXPECT_THAT(words, HasSubstr("A valve may be stuck open"));
  EXPECT_LT(words.find("Alder Row"), words.find("Heron Lane"));
  const PhoneWords device = PhoneWordsFor(TestDevice(), plan, kChicago, SheetUnits::kUs);
  EXPECT_EQ(device.planned, "2:10 to 2:22 in the morning and 2:10 to 2:22 in the afternoon, every day");
  EXPECT_EQ(
      device.till_then,
      "2:03 to 2:42 in the morning, Monday, Wednesday and Friday; 5:53 to 6:00 in the morning, odd dates");
  EXPECT_TRUE(device.runs);
  const PhoneWords unknown = PhoneWordsFor(other, plan, kChicago, SheetUnits::kUs);
  EXPECT_EQ(unknown.planned, "not known: nobody has written down what is keyed");
  EXPECT_EQ(unknown.till_then, "");
  DevicePlan off = TestDevice();
  off.settings.on = false;
  off.present = off.settings;
  EXPECT_EQ(PhoneWordsFor(off, plan, kChicago, SheetUnits::kUs).planned, "should not run");
  EXPECT_FALSE(PhoneWordsFor(off, plan, kChicago, SheetUnits::kUs).runs);
}

TEST(PhoneScript, IsTheSameBytesEveryTimeAndTakesMany) {
  const TestFolder folder;
  const SystemPlan plan = TestPlan(std::vector<DevicePlan>(90, TestDevice()));
  for (const char* name : {"a.pdf", "b.pdf"}) {
    ASSERT_TRUE(WritePhoneScript(plan, Options(Paper::kA4), folder / name).ok());
  }
  EXPECT_EQ(BytesOf(folder / "a.pdf"), BytesOf(folder / "b.pdf"));
}

}  // namespace
}  // namespace lastreach
