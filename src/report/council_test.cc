#include "report/council.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "report/test_pages.h"
#include "report/test_years.h"
#include "report/water_charts.h"

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

DevicePlan Weak(int homes, Verdict verdict) {
  DevicePlan device = TestDevice();
  device.verdict = verdict;
  device.planned_outcome.reset();
  device.reach.services = homes;
  return device;
}

std::string Printed(const SystemPlan& plan, const CouncilPaper& paper, const SheetOptions& options,
                    const TestFolder& folder) {
  const Status status = WriteCouncilPage(plan, paper, options, folder / "council.pdf");
  EXPECT_TRUE(status.ok()) << (status.ok() ? "" : status.error().ToString());
  EXPECT_THAT(OutputOf("pdfinfo '" + folder / "council.pdf'"), HasSubstr("Pages:           1\n"));
  return WordsOf(folder / "council.pdf");
}

TEST(Council, GivesFiveNumbersAndTheCaution) {
  const TestFolder folder;
  SystemPlan plan = TestPlan({TestDevice(), Weak(5, Verdict::kFlushingIsNotTheAnswer)});
  plan.notes = {"Within the limit (at most 94.6 m3 a day; source: drought rule).", "About the map."};
  const std::string words = Printed(plan, {}, Options(Paper::kLetter), folder);
  // 19.6, 5.4 + 9.8 that run on, and 8.2 m3 a day by 30.4 days, in US gallons of 3.785 L, to two digits.
  EXPECT_THAT(words, HasSubstr("160,000"));
  EXPECT_THAT(words, HasSubstr("120,000"));
  EXPECT_THAT(words, HasSubstr("66,000"));
  EXPECT_THAT(words, HasSubstr("12 of 17"));  // every home where the plan is as sure as asked
  EXPECT_THAT(words, HasSubstr("now 0"));
  EXPECT_THAT(words, HasSubstr("with 1 left"));
  EXPECT_THAT(words, HasSubstr("once, one a device"));
  EXPECT_THAT(words, HasSubstr("no prices were given"));
  EXPECT_THAT(words, HasSubstr("22 % less than"));
  EXPECT_THAT(words, HasSubstr("End of Heron Lane, at no. 27 (FP-014), 5 homes: the water arrives too weak"));
  EXPECT_THAT(words, HasSubstr("2 of 2 devices rest on numbers nobody measured"));
  EXPECT_THAT(words, HasSubstr("source: drought rule"));
  EXPECT_THAT(words, Not(HasSubstr("About the map.")));
  EXPECT_THAT(words,
              HasSubstr("A planning aid; the licensed operator in charge decides, local rules come first."));
}

TEST(Council, SaysWhatIsNotKnownOfThePresent) {
  const TestFolder folder;
  DevicePlan device = TestDevice();
  device.present_outcome.reset();
  const std::string words = Printed(TestPlan({TestDevice(), device}), {}, Options(Paper::kA4), folder);
  EXPECT_THAT(words, HasSubstr("now 0, not known for 12"));
  EXPECT_THAT(words, Not(HasSubstr("less than now")));
  EXPECT_THAT(words, HasSubstr("Nothing: every end can be held by flushing."));
}

TEST(Council, TakesVisitsCostAndChartFromTheYear) {
  const TestFolder folder;
  const YearPlan year = TestYear();
  const CouncilPaper paper{&year, YearPrices{"USD", 1.4, 85, "rate book 2026"}};
  const std::string words =
      Printed(TestPlan({TestDevice()}), paper, Options(Paper::kA4, SheetUnits::kMetric), folder);
  EXPECT_THAT(words, HasSubstr("USD 6,100"));  // 4060 x 1.4 + 5 x 85
  EXPECT_THAT(words, HasSubstr("prices: rate book 2026"));
  EXPECT_THAT(words, HasSubstr("this plan: 4,100 m³"));
  EXPECT_THAT(words, HasSubstr("one setting all year"));
  EXPECT_THAT(words, HasSubstr("visits a year to change settings"));
  // Seven visits lie beyond the frontier's six.
  EXPECT_THAT(words, Not(HasSubstr("four changes a year")));
}

TEST(Council, CostsASeasonWithoutAYear) {
  const TestFolder folder;
  const CouncilPaper paper{nullptr, YearPrices{"EUR", 2, 100, ""}};
  const std::string words =
      Printed(TestPlan({TestDevice()}), paper, Options(Paper::kA4, SheetUnits::kMetric), folder);
  EXPECT_THAT(words, HasSubstr("EUR 1,100"));                                 // 5.4 x 92 x 2 + 100
  EXPECT_THAT(words, HasSubstr("the water alone costs 1,800 as it is now"));  // 9.8 x 92 x 2
}

TEST(Council, IsOnePageHoweverMuchThereIsToSay) {
  const TestFolder folder;
  const YearPlan year = TestYear();
  std::vector<DevicePlan> devices(60, Weak(3, Verdict::kCannotHold));
  for (DevicePlan& device : devices) device.binds = {std::string(500, 'x') + " " + std::string(300, 'y')};
  SystemPlan plan = TestPlan(devices);
  for (int i = 0; i < 20; ++i) plan.notes.push_back("source: " + std::string(200, 'n'));
  for (const Paper paper : {Paper::kA4, Paper::kLetter}) {
    const std::string words = Printed(plan, {&year, {}}, Options(paper), folder);
    EXPECT_THAT(words, HasSubstr("more ends, listed in the overview."));
    EXPECT_THAT(words, HasSubstr("A planning aid"));
  }
}

TEST(Council, TakesAPlanWithoutDevices) {
  const TestFolder folder;
  EXPECT_THAT(Printed(TestPlan({}), {}, Options(Paper::kLetter), folder), HasSubstr("0 of 0"));
}

// Bars are as long as their water: ink counted on one line through each.
TEST(WaterBars, AreInProportion) {
  const TestFolder folder;
  const auto canvas = Canvas::Pdf({600, 120}, "bars", TestDate(2026, 6, 22));
  DrawWaterBars(*canvas, {10, 10}, 580, {{"a", 10, "", false}, {"b", 5, "", false}, {"c", 0, "", false}});
  ASSERT_TRUE(WriteWhole(folder / "bars.pdf", *canvas->Finish()).ok());
  const Raster raster = RasterOf(folder / "bars.pdf", 1, 72);
  const auto dark = [&](int y) {
    int count = 0;
    for (int x = 125; x < 600; ++x) count += raster.At(x, y, 0) < 120 ? 1 : 0;
    return count;
  };
  EXPECT_NEAR(dark(20), 315, 2);  // 580 less names 110, amounts 150 and the first five points
  EXPECT_NEAR(dark(48), 155, 2);
  EXPECT_LE(dark(76), 1);
}

}  // namespace
}  // namespace lastreach
