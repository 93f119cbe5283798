#include "report/overview.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <limits>

#include "report/device_plot.h"
#include "report/device_sentences.h"
#include "report/plot.h"
#include "report/test_pages.h"
#include "report/test_plans.h"

namespace lastreach {
namespace {

using testing::HasSubstr;
using testing::Not;

SheetOptions Options(Paper paper, SheetUnits units) {
  SheetOptions options;
  options.paper = paper;
  options.units = units;
  options.printed_on = TestDate(2026, 6, 22);
  return options;
}

TEST(Overview, TellsTotalsAndEveryDevice) {
  const TestFolder folder;
  DevicePlan other = TestDevice();
  other.point.code = PointCode("FP-033");
  other.verdict = Verdict::kFlushingIsNotTheAnswer;
  other.planned_outcome.reset();
  other.planned_series = {};
  SystemPlan plan = TestPlan({TestDevice(), other});
  plan.notes = {"All devices together use 5.4 m3 a day, within the limit."};
  ASSERT_TRUE(WriteOverview(plan, Options(Paper::kA4, SheetUnits::kMetric), folder / "all.pdf").ok());
  const std::string words = WordsOf(folder / "all.pdf");
  for (const char* part :
       {"Flushing plan, summer 2026", "1 July 2026 to 30 September 2026", "5.4 m³", "19.6 m³", "8.2 m³",
        "2 devices: 1 to change, 0 to keep, 1 where keying is not the answer.", "0.1 → 0.5", "9.8 → 5.4",
        "0.1 → ?", "readings are ±0.1 mg/L", "target 0.4", "present runs", "planned runs",
        "FP-033: flushing is not the answer",
        "No schedule whatever can hold the target with less than 4.1 m³ a day (proven, for numbers as bad",
        "pipe diameter taken as 6 in (nobody measured it)", "longest gap 3 days", "FP-014 *",
        "All devices together use 5.4 m3 a day, within the limit."}) {
    EXPECT_THAT(words, HasSubstr(part));
  }
}

TEST(Overview, ExplainsEachDeviceInTwoSentences) {
  const TestFolder folder;
  DevicePlan other = TestDevice();
  other.verdict = Verdict::kCannotHold;
  ASSERT_TRUE(WriteOverview(TestPlan({TestDevice(), other}), Options(Paper::kLetter, SheetUnits::kUs),
                            folder / "all.pdf")
                  .ok());
  const std::string words = WordsOf(folder / "all.pdf");
  EXPECT_THAT(words, HasSubstr(DeviceInTwoSentences(TestDevice(), SheetUnits::kUs)));
  EXPECT_THAT(words, HasSubstr(DeviceInTwoSentences(other, SheetUnits::kUs)));
}

TEST(Overview, DoesNotCallABoundProvenThatIsNot) {
  const TestFolder folder;
  DevicePlan device = TestDevice();
  device.bound_kind = BoundKind::kVerified;
  ASSERT_TRUE(
      WriteOverview(TestPlan({device}), Options(Paper::kLetter, SheetUnits::kUs), folder / "all.pdf").ok());
  const std::string words = WordsOf(folder / "all.pdf");
  EXPECT_THAT(words, HasSubstr("checked, not proven"));
  EXPECT_THAT(words, Not(HasSubstr("(proven)")));
  EXPECT_THAT(words, Not(HasSubstr("a day, proven")));
}

TEST(Overview, ShowsAResidualBelowItsTargetAsBelow) {
  const TestFolder folder;
  DevicePlan device = TestDevice();
  device.present_outcome->lowest_mg_per_l = 0.38;
  ASSERT_TRUE(
      WriteOverview(TestPlan({device}), Options(Paper::kA4, SheetUnits::kUs), folder / "all.pdf").ok());
  EXPECT_THAT(WordsOf(folder / "all.pdf"), HasSubstr("lowest just under 0.4 mg/L"));
}

TEST(Overview, TakesLongReasonsAndManyDevices) {
  const TestFolder folder;
  std::vector<DevicePlan> devices(41, TestDevice());
  for (int i = 0; i < 200; ++i) devices[3].reasons.push_back("Reason " + std::to_string(i) + " of many.");
  devices[5].point.code = PointCode(std::string(150, 'W'));
  for (const Paper paper : {Paper::kA4, Paper::kLetter}) {
    const Status status =
        WriteOverview(TestPlan(devices), Options(paper, SheetUnits::kUs), folder / "all.pdf");
    ASSERT_TRUE(status.ok()) << status.error().ToString();
    EXPECT_THAT(WordsOf(folder / "all.pdf"), HasSubstr("Reason 199 of many."));
  }
}

// A plot alone on a page at 72 dots an inch, so that a pixel is a point.
Raster RasterOfPlot(const ResidualPlot& plot) {
  const TestFolder folder;
  const auto canvas = Canvas::Pdf({640, 360}, "plot", TestDate(2026, 6, 22));
  DrawResidualPlot(*canvas, {10, 10}, 620, 340, plot, *Zone::Find("America/Chicago"));
  const Result<std::string> bytes = canvas->Finish();
  if (!bytes.ok() || !WriteWhole(folder / "plot.pdf", *bytes).ok()) return {};
  return RasterOf(folder / "plot.pdf", 1, 72);
}

// Columns in which some pixel above the axis has the warm colour of the planned line.
int ColumnsWithPlannedLine(const Raster& raster, int from_x, int to_x) {
  int columns = 0;
  for (int x = from_x; x < to_x; ++x) {
    for (int y = 30; y < 290; ++y) {
      if (raster.At(x, y, 0) > raster.At(x, y, 2) + 60) {
        ++columns;
        break;
      }
    }
  }
  return columns;
}

TEST(ResidualPlot, LeavesAGapWhereNothingIsKnown) {
  const DevicePlan device = TestDevice();
  ResidualPlot plot = *PlotOf(device, TestPlan({device}));
  plot.present = {};
  // Field of the plot: x from 40 to 546 for 336 hours; hours 134 to 202 are 242 to 344.
  const Raster whole = RasterOfPlot(plot);
  ASSERT_GT(whole.width, 0);
  EXPECT_GT(ColumnsWithPlannedLine(whole, 250, 336), 80);
  for (size_t i = 0; i < plot.planned.residual.hours.size(); ++i) {
    const double hour = plot.planned.residual.hours[i];
    if (hour > 134 && hour < 202)
      plot.planned.residual.mg_per_l[i] = std::numeric_limits<double>::quiet_NaN();
  }
  const Raster broken = RasterOfPlot(plot);
  EXPECT_EQ(ColumnsWithPlannedLine(broken, 250, 336), 0);
  EXPECT_GT(ColumnsWithPlannedLine(broken, 60, 230), 160);
}

// The series begins on Monday 6 July 00:00 local; fourteen days are shown.
TEST(ResidualPlot, NamesTheDays) {
  const TestFolder folder;
  const DevicePlan device = TestDevice();
  const auto canvas = Canvas::Pdf({640, 360}, "plot", TestDate(2026, 6, 22));
  DrawResidualPlot(*canvas, {10, 10}, 620, 340, *PlotOf(device, TestPlan({device})),
                   *Zone::Find("America/Chicago"));
  ASSERT_TRUE(WriteWhole(folder / "plot.pdf", *canvas->Finish()).ok());
  const std::string words = WordsOf(folder / "plot.pdf");
  EXPECT_THAT(words, HasSubstr("Mon Tue Wed Thu Fri Sat Sun Mon Tue Wed Thu Fri Sat Sun"));
  EXPECT_THAT(words, HasSubstr("6 Jul 7 Jul"));
  EXPECT_THAT(words, HasSubstr("19 Jul"));
}

TEST(ResidualPlot, MarksTheRunsThatReallyHappen) {
  const DevicePlan device = TestDevice();
  const ResidualPlot plot = *PlotOf(device, TestPlan({device}));
  // 01:10 and 13:10 standard time on 14 days and the first minute of the fifteenth, which is still shown.
  ASSERT_GE(plot.planned.runs.size(), 28u);
  EXPECT_EQ(plot.planned.runs[0].start, TestMoment(2026, 7, 6, 7, 10));
  // The present clock was found 7 minutes fast: its 01:10 comes 7 minutes early.
  ASSERT_FALSE(plot.present.runs.empty());
  EXPECT_EQ(plot.present.runs[0].start, TestMoment(2026, 7, 6, 7, 3));
}

TEST(ResidualPlot, DrawsWhateverItIsGiven) {
  const Zone zone = *Zone::Find("America/Chicago");
  ResidualPlot plot;
  plot.target_mg_per_l = 0.4;
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const std::vector<std::vector<double>> curves = {{}, {0.3}, {0, 0}, {25, 3}, {nan, nan}, {1e-9, 0.4}};
  for (const std::vector<double>& curve : curves) {
    plot.planned = {"planned", {}, {}};
    for (size_t i = 0; i < curve.size(); ++i)
      plot.planned.residual.hours.push_back(24.0 * static_cast<double>(i));
    plot.planned.residual.mg_per_l = curve;
    const auto canvas = Canvas::Pdf({400, 200}, "plot", TestDate(2026, 6, 22));
    DrawResidualPlot(*canvas, {0, 0}, 400, 200, plot, zone);
    EXPECT_TRUE(canvas->Finish().ok()) << curve.size();
  }
}

TEST(ResidualPlotPng, IsAPictureOf1600By900) {
  const TestFolder folder;
  const DevicePlan device = TestDevice();
  ASSERT_TRUE(WriteResidualPlotPng(device, TestPlan({device}), folder / "plot.png").ok());
  const std::string bytes = BytesOf(folder / "plot.png");
  // PNG (ISO/IEC 15948): signature, then IHDR with width and height, most significant byte first.
  EXPECT_EQ(bytes.substr(0, 8), std::string("\x89PNG\r\n\x1a\n", 8));
  EXPECT_EQ(bytes.substr(16, 8), std::string("\x00\x00\x06\x40\x00\x00\x03\x84", 8));
}

TEST(ResidualPlotPng, SaysWhenThereIsNothingToPlot) {
  const TestFolder folder;
  DevicePlan device = TestDevice();
  device.planned_series = {};
  device.present_series = {};
  const Status status = WriteResidualPlotPng(device, TestPlan({device}), folder / "plot.png");
  ASSERT_FALSE(status.ok());
  EXPECT_EQ(status.error().message, "there is nothing to plot for FP-014");
}

}  // namespace
}  // namespace lastreach
