#include "report/route_sheet.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "report/form_sheet.h"
#include "report/test_pages.h"
#include "report/test_plans.h"

namespace lastreach {
namespace {

using testing::HasSubstr;

SheetOptions Options(Paper paper, SheetUnits units = SheetUnits::kMetric) {
  SheetOptions options;
  options.paper = paper;
  options.units = units;
  options.printed_on = TestDate(2026, 6, 22);
  return options;
}

DevicePlan Named(const std::string& code, Verdict verdict) {
  DevicePlan device = TestDevice();
  device.point.code = PointCode(code);
  device.verdict = verdict;
  return device;
}

size_t CountOf(const std::string& part, const std::string& text) {
  size_t count = 0;
  for (size_t at = 0; (at = text.find(part, at)) != std::string::npos; at += part.size()) ++count;
  return count;
}

TEST(RouteSheet, GivesEveryPointOneLineWithWhatToDo) {
  const TestFolder folder;
  FlushPoint hand;
  hand.code = PointCode("BO-3");
  hand.place = "Dead end of Larch Way";
  hand.discharge = DischargeTo::kCreek;
  const SystemPlan plan = TestPlan(
      {Named("FP-1", Verdict::kChange), Named("FP-2", Verdict::kKeep), Named("FP-3", Verdict::kCannotHold)});
  ASSERT_TRUE(WriteRouteSheet(plan, {hand}, Options(Paper::kA4), folder / "route.pdf").ok());
  const std::string words = WordsOf(folder / "route.pdf");
  EXPECT_THAT(words, HasSubstr("1 to key, 1 as now, 1 not to be keyed; 1 flushed by hand."));
  EXPECT_THAT(words, HasSubstr("FP-1 End of Heron Lane, at no. 27 Key new settings: 5 changes"));
  EXPECT_THAT(words, HasSubstr("FP-2 End of Heron Lane, at no. 27 As now: check only"));
  EXPECT_THAT(words, HasSubstr("Do not key: cannot be held"));
  EXPECT_THAT(words, HasSubstr("BO-3 Dead end of Larch Way Flush by hand; water goes to: creek"));
}

TEST(RouteSheet, RepeatsItsHeadAndLosesNoLineOverManyPages) {
  const TestFolder folder;
  std::vector<DevicePlan> devices;
  for (int i = 100; i < 300; ++i) devices.push_back(Named("FP-" + std::to_string(i), Verdict::kChange));
  for (const Paper paper : {Paper::kA5, Paper::kHalfLetter, Paper::kA4, Paper::kLetter}) {
    ASSERT_TRUE(WriteRouteSheet(TestPlan(devices), {}, Options(paper), folder / "route.pdf").ok());
    const std::string words = WordsOf(folder / "route.pdf");
    for (int i = 100; i < 300; ++i) {
      EXPECT_EQ(CountOf("FP-" + std::to_string(i) + " ", words), 1u) << i;
    }
    EXPECT_EQ(CountOf("Point Place To do", words), CountOf("Route sheet, summer 2026 page", words));
  }
}

TEST(RouteSheet, WrapsLongNames) {
  const TestFolder folder;
  DevicePlan device = Named(std::string(120, 'W'), Verdict::kChange);
  for (int i = 0; i < 60; ++i) device.point.place += "place" + std::to_string(i) + " ";
  const Status status = WriteRouteSheet(TestPlan({device}), {}, Options(Paper::kA5), folder / "route.pdf");
  ASSERT_TRUE(status.ok()) << status.error().ToString();
  EXPECT_THAT(WordsOf(folder / "route.pdf"), HasSubstr("place59"));
}

TEST(ControllerFormBlank, AsksForEveryItemOfTheForm) {
  const TestFolder folder;
  for (const Paper paper : {Paper::kA5, Paper::kHalfLetter, Paper::kA4, Paper::kLetter}) {
    ASSERT_TRUE(WriteControllerFormBlank(Options(paper, SheetUnits::kUs), folder / "form.pdf").ok());
    const std::string words = WordsOf(folder / "form.pdf");
    for (const char* part :
         {"What this timer accepts", "How many programs?", "How many starts in each?", "daylight saving time",
          "is the 31st", "the new run waits", "the new start is lost"}) {
      EXPECT_THAT(words, HasSubstr(part));
    }
    // Every item but the name has "don't know": 15 of ControllerForm, and once in the introduction.
    EXPECT_EQ(CountOf("don't know", words), 15u);
    EXPECT_EQ(CountOf("Don't know", words), 1u);
  }
}

TEST(ControllerFormBlank, FitsOneDeskPage) {
  const TestFolder folder;
  for (const Paper paper : {Paper::kA4, Paper::kLetter}) {
    ASSERT_TRUE(WriteControllerFormBlank(Options(paper), folder / "form.pdf").ok());
    EXPECT_THAT(OutputOf("pdfinfo '" + folder / "form.pdf'"), HasSubstr("Pages:           1\n"));
  }
}

}  // namespace
}  // namespace lastreach
