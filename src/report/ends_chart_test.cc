#include "report/ends_chart.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "report/test_pages.h"
#include "report/test_plans.h"

namespace lastreach {
namespace {

using testing::HasSubstr;

EndsChart SixEnds() {
  EndsChart chart;
  chart.title = "Six ends through the fortnight";
  chart.period = "Alderbrook, 1 to 14 July 2026";
  chart.begin = TestMoment(2026, 7, 1, 5, 0);
  chart.zone = *Zone::Find("America/Chicago");
  chart.foot = "Computed, not read.";
  for (int i = 0; i < 6; ++i) {
    const ResidualSeries saw = TestSeries(0.5 + 0.2 * i, 0.8, 24.0 * (1 + i), TestMoment(2026, 7, 1, 5, 0));
    EndCurve end;
    end.title = "Heron Lane " + std::to_string(i) + ", D0" + std::to_string(i);
    end.hours = saw.hours;
    end.mg_per_l = saw.mg_per_l;
    end.target_mg_per_l = i < 3 ? 0.4 : 1.0;
    for (int day = 0; day < 14; day += 1 + i) {
      end.runs.push_back({TestMoment(2026, 7, 1, 5, 0) + std::chrono::hours(24 * day), 30, 1});
    }
    end.judged_hour = 24.0 * (1 + i) - 0.5;
    end.judged_mg_per_l = 0.3;
    end.judged_words = "0.3 mg/L at the end of the longest gap, 23 h";
    chart.ends.push_back(end);
  }
  return chart;
}

SheetOptions LetterOptions() {
  SheetOptions options;
  options.paper = Paper::kLetter;
  options.printed_on = TestDate(2026, 7, 1);
  return options;
}

TEST(EndsChart, NamesEachEndItsValueAndTheDays) {
  const TestFolder folder;
  ASSERT_TRUE(WriteEndsChart(SixEnds(), LetterOptions(), folder / "ends").ok());
  const std::string words = WordsOf(folder / "ends.pdf");
  for (const char* wanted : {"Six ends through the fortnight", "Heron Lane 0, D00", "Heron Lane 5, D05",
                             "0.3 mg/L at the end of the longest gap", "Jul 1", "the device runs", "target",
                             "Computed, not read."}) {
    EXPECT_THAT(words, HasSubstr(wanted));
  }
  EXPECT_GT(std::filesystem::file_size(folder / "ends.png"), 10000U);
}

// The field of the first picture is the upper left part of the page; a tick stands under it at each run.
TEST(EndsChart, RunsAreMarkedUnderTheLine) {
  const TestFolder folder;
  EndsChart chart = SixEnds();
  chart.ends.resize(1);
  const auto red = [&](const char* name) {
    EXPECT_TRUE(WriteEndsChart(chart, LetterOptions(), folder / name).ok());
    const Raster raster = RasterOf(folder / (std::string(name) + ".pdf"), 1, 72);
    int count = 0;
    // Below the key, so that its samples do not count.
    for (int y = 110; y < raster.height; ++y) {
      for (int x = 0; x < raster.width; ++x) {
        if (raster.At(x, y, 0) > raster.At(x, y, 2) + 60) ++count;
      }
    }
    return count;
  };
  chart.ends[0].judged_hour.reset();
  const int with = red("with");
  chart.ends[0].runs.clear();
  EXPECT_GT(with, 14 * 4);
  EXPECT_EQ(red("without"), 0);
}

TEST(EndsChart, WithoutACurveThereIsNothingToDraw) {
  const TestFolder folder;
  EXPECT_FALSE(WriteEndsChart({}, LetterOptions(), folder / "none").ok());
}

}  // namespace
}  // namespace lastreach
