#include "report/season_calendar.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "report/test_pages.h"
#include "report/test_years.h"

namespace lastreach {
namespace {

using testing::HasSubstr;

SheetOptions Options(Paper paper) {
  SheetOptions options;
  options.paper = paper;
  options.printed_on = TestDate(2026, 6, 22);
  return options;
}

TEST(SeasonCalendar, TellsWhatStandsWhenAndWhatIsSaidOfIt) {
  const TestFolder folder;
  ASSERT_TRUE(
      WriteSeasonCalendar(TestYear(), TestYearPaper(), Options(Paper::kLetter), folder / "s.pdf").ok());
  const std::string words = WordsOf(folder / "s.pdf");
  EXPECT_THAT(words, HasSubstr("The year, June 2026 to May 2027"));
  EXPECT_THAT(words, HasSubstr("1,100,000 gallons a year, 5 visits a year to change settings."));
  EXPECT_THAT(words, HasSubstr("Jun 2026 Jul Aug Sep Oct Nov Dec Jan 2027 Feb Mar Apr May"));
  EXPECT_THAT(words, HasSubstr("01:10, 12 min, Mon, Wed, Fri"));
  EXPECT_THAT(words, HasSubstr("60 %"));
  EXPECT_THAT(words, HasSubstr("OFF, frost [1]"));
  EXPECT_THAT(words, HasSubstr("[1] FP-031: off for frost (source: council rule 7)"));
  EXPECT_THAT(words, HasSubstr("The water of December to March is not known"));
}

// A box stands where its months do: FP-014 is changed on 1 October, a third of the way through the year.
TEST(SeasonCalendar, PutsAChangeUnderItsMonth) {
  const TestFolder folder;
  ASSERT_TRUE(WriteSeasonCalendar(TestYear(), TestYearPaper(), Options(Paper::kA4), folder / "s.pdf").ok());
  double june = 0, october = 0, box = 0, right = 0;
  for (const WordBox& word : WordBoxesOf(folder / "s.pdf")) {
    if (word.text == "Jun" && june == 0) june = (word.left + word.right) / 2;
    if (word.text == "Oct" && october == 0) october = (word.left + word.right) / 2;
    if (word.text == "Oct" && word.top > 90 && box == 0) box = word.left;
    right = word.page_width - 28;
  }
  const double left = 28 + 96;
  const double month = (right - left) / 12;
  EXPECT_NEAR(box, left + (right - left) * 122 / 365 + 4, 1);  // June to September have 122 days
  EXPECT_NEAR(october, left + 4.5 * month, 2);
  EXPECT_LT(june, october);
}

TEST(SeasonCalendar, SaysWhatCannotBeHeld) {
  const TestFolder folder;
  YearPlan year = TestYear();
  year.devices[0].parts.clear();
  year.devices[0].notes = {"Nothing holds it in any month."};
  year.devices[1].parts[0].state = PartState::kNotHeld;
  year.devices[1].parts[0].words = "nothing holds it here.";
  ASSERT_TRUE(WriteSeasonCalendar(year, TestYearPaper(), Options(Paper::kA4), folder / "s.pdf").ok());
  const std::string words = WordsOf(folder / "s.pdf");
  EXPECT_THAT(words, HasSubstr("No part of the year can be held [1]"));
  EXPECT_THAT(words, HasSubstr("[1] FP-014: Nothing holds it in any month."));
  EXPECT_THAT(words, HasSubstr("8 min, not held"));
  EXPECT_THAT(words, HasSubstr("[2] FP-020: nothing holds it here."));
}

YearPlan Monthly(size_t devices) {
  YearPlan year;
  const TimerSettings full{
      true, 100, {{{70, 430, 790, 1150}, 12, Weekdays{0x15}, {}}, {{300}, 5, OddDates{}, {}}}};
  DeviceYear device = TestDeviceYear("FP-100", "A street with a long name, at the corner", {});
  for (int i = 0; i < 12; ++i) {
    const auto month =
        std::chrono::year_month(std::chrono::year(2026), std::chrono::June) + std::chrono::months(i);
    year.parts.push_back(TestPart("month", Date(month / std::chrono::day(1)),
                                  Date((month + std::chrono::months(1)) / std::chrono::day(1)),
                                  {(5 + i) % 12 + 1}));
    TimerSettings settings = full;
    settings.percent = i < 9 ? 100 - 10 * (i % 3) : 100;
    settings.programmes[0].minutes = i < 9 ? 12 : i;
    device.parts.push_back(TestPartOfDevice(settings, 10));
  }
  year.devices.assign(devices, device);
  return year;
}

TEST(SeasonCalendar, TakesTwelveChangesAndManyDevices) {
  const TestFolder folder;
  for (const Paper paper : {Paper::kA4, Paper::kLetter}) {
    const Status status = WriteSeasonCalendar(Monthly(40), TestYearPaper(), Options(paper), folder / "s.pdf");
    ASSERT_TRUE(status.ok()) << status.error().ToString();
    const std::string words = WordsOf(folder / "s.pdf");
    EXPECT_THAT(words, HasSubstr("80 %"));
    EXPECT_THAT(words, HasSubstr("page 10 of 1"));
  }
  ASSERT_TRUE(WriteSeasonCalendar({}, {}, Options(Paper::kA4), folder / "none.pdf").ok());
}

TEST(SeasonCalendar, IsTheSameBytesEveryTime) {
  const TestFolder folder;
  for (const char* name : {"a.pdf", "b.pdf"}) {
    ASSERT_TRUE(WriteSeasonCalendar(TestYear(), TestYearPaper(), Options(Paper::kA4), folder / name).ok());
  }
  EXPECT_EQ(BytesOf(folder / "a.pdf"), BytesOf(folder / "b.pdf"));
}

}  // namespace
}  // namespace lastreach
