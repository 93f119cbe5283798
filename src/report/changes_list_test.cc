#include "report/changes_list.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "report/test_pages.h"
#include "report/test_years.h"

namespace lastreach {
namespace {

using testing::HasSubstr;
using testing::Not;

SheetOptions Options(Paper paper, SheetUnits units = SheetUnits::kUs) {
  SheetOptions options;
  options.paper = paper;
  options.units = units;
  options.printed_on = TestDate(2026, 6, 22);
  return options;
}

TEST(ChangesList, SaysOnlyWhatDiffers) {
  const TestFolder folder;
  DevicePlan unknown = TestDevice();
  unknown.point.code = PointCode("FP-002");
  unknown.present.reset();
  DevicePlan kept = TestDevice();
  kept.point.code = PointCode("FP-003");
  kept.verdict = Verdict::kKeep;
  ASSERT_TRUE(
      WriteChangesList(TestPlan({TestDevice(), unknown, kept}), Options(Paper::kLetter), folder / "c.pdf")
          .ok());
  const std::string words = WordsOf(folder / "c.pdf");
  EXPECT_THAT(words, HasSubstr("What to alter, summer 2026"));
  for (const char* part :
       {"Percentage 130 % back to 100 %",
        "Program 1: start 13:10 added, minutes 30 → 12, days Mon, Wed, Fri → every day; Program 2: off"}) {
    EXPECT_THAT(words, HasSubstr(part));
  }
  EXPECT_THAT(words, HasSubstr("Read off and write down what is keyed, then key Program 1: 01:10 and 13:10"));
  EXPECT_THAT(words, HasSubstr("Nothing to alter at FP-003 (keep)."));
  EXPECT_LT(words.find("FP-014"), words.find("FP-002"));
}

TEST(ChangesList, RepeatsItsHeadOverManyPages) {
  const TestFolder folder;
  ASSERT_TRUE(WriteChangesList(TestPlan(std::vector<DevicePlan>(80, TestDevice())), Options(Paper::kA4),
                               folder / "c.pdf")
                  .ok());
  const std::string words = WordsOf(folder / "c.pdf");
  size_t heads = 0;
  for (size_t at = 0; (at = words.find("Device Place What to alter", at)) != std::string::npos; ++at) ++heads;
  EXPECT_GT(heads, 3u);
  EXPECT_THAT(words, HasSubstr("page " + std::to_string(heads) + " of " + std::to_string(heads)));
}

TEST(YearChangesList, GoesByDate) {
  const TestFolder folder;
  ASSERT_TRUE(
      WriteYearChangesList(TestYear(), TestYearPaper(), Options(Paper::kLetter), folder / "y.pdf").ok());
  const std::string words = WordsOf(folder / "y.pdf");
  EXPECT_THAT(words, HasSubstr("6 changes of settings a year, 5 visits for that alone."));
  const size_t begin = words.find("Once, to begin with: by Monday, June 1, 2026");
  const size_t autumn = words.find("By Thursday, October 1, 2026, before the first start of that day");
  const size_t winter = words.find("By Tuesday, December 1, 2026");
  const size_t spring = words.find("By Thursday, April 1, 2027");
  const size_t round = words.find("When the year comes round: by Tuesday, June 1, 2027");
  ASSERT_NE(round, std::string::npos);
  EXPECT_LT(begin, autumn);
  EXPECT_LT(autumn, winter);
  EXPECT_LT(winter, spring);
  EXPECT_LT(spring, round);
  EXPECT_THAT(words.substr(round), HasSubstr("FP-014"));
  EXPECT_THAT(words.substr(begin, autumn - begin), HasSubstr("Percentage 130 % back to 100 %"));
  EXPECT_THAT(words.substr(begin, autumn - begin), HasSubstr("Read off and write down what is keyed"));
  EXPECT_THAT(words.substr(autumn, winter - autumn), HasSubstr("Percentage 100 % → 60 %"));
  EXPECT_THAT(words.substr(autumn, winter - autumn),
              HasSubstr("It then stands at 01:10, 12 min, Mon, Wed, Fri"));
  EXPECT_THAT(words.substr(winter, spring - winter), HasSubstr("Turn it OFF, with date and name"));
  // What was keyed before the frost is still in the timer: nothing but the switch is touched.
  EXPECT_THAT(words.substr(spring),
              HasSubstr("Turn it ON; it was OFF. It then stands at 01:10 and 13:10, 12 min"));
  EXPECT_THAT(words.substr(spring), Not(HasSubstr("newly used")));
  EXPECT_THAT(words.substr(spring), HasSubstr("(somebody is there that month anyway)"));
}

TEST(YearChangesList, SaysWhenNothingChanges) {
  const TestFolder folder;
  YearPlan year = TestYear();
  year.changes.clear();
  year.visits = 0;
  ASSERT_TRUE(WriteYearChangesList(year, TestYearPaper(), Options(Paper::kA4), folder / "y.pdf").ok());
  EXPECT_THAT(WordsOf(folder / "y.pdf"), HasSubstr("After that nothing changes all year round."));
}

TEST(SettingsInShort, LeavesOutWhatNeedNotBeSaid) {
  TimerSettings settings{true, 100, {{{70, 790}, 12, kEveryWeekday, {}}, {{}, 5, kEveryWeekday, {}}}};
  EXPECT_EQ(SettingsInShort(settings, SheetUnits::kUs), "01:10 and 13:10, 12 min");
  settings.percent = 60;
  settings.programmes[1] = {{300}, 5, Weekdays{0x15}, {}};
  EXPECT_EQ(SettingsInShort(settings, SheetUnits::kUs),
            "01:10 and 13:10, 12 min; 05:00, 5 min, Mon, Wed, Fri; 60 %");
  EXPECT_EQ(SettingsInShort({true, 100, {}}, SheetUnits::kUs), "nothing keyed");
  EXPECT_EQ(SettingsInShort({false, 100, settings.programmes}, SheetUnits::kUs), "OFF");
}

TEST(SettingsBefore, GoesRoundTheYear) {
  const YearPlan year = TestYear();
  EXPECT_EQ(SettingsBefore(year, year.changes[0]), year.devices[0].parts[3].settings);
  EXPECT_EQ(SettingsBefore(year, year.changes[1]), year.devices[0].parts[0].settings);
  const auto before_spring = SettingsBefore(year, year.changes[5]);
  ASSERT_TRUE(before_spring.has_value());
  EXPECT_FALSE(before_spring->on);
  EXPECT_EQ(before_spring->programmes, year.devices[2].parts[1].settings.programmes);
  SettingsChange other = year.changes[0];
  other.when = TestDate(2026, 6, 2);
  EXPECT_FALSE(SettingsBefore(year, other).has_value());
}

}  // namespace
}  // namespace lastreach
