#include "month/readings.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

namespace lastreach {
namespace {

using std::chrono::August;
using std::chrono::year;

Sample SampleOf(const char* day, Analyte analyte, double mg_per_l, bool below_detection = false,
                std::optional<int> minute = 600) {
  Sample sample;
  sample.point = PointCode("P1");
  sample.day = *ParseDate(day);
  sample.minute_of_day = minute;
  sample.analyte = analyte;
  sample.residual = Concentration::MilligramsPerLitre(mg_per_l);
  sample.below_detection = below_detection;
  return sample;
}

TEST(Readings, AnalytesReadTogetherAreOneReading) {
  const std::vector<Sample> samples = {SampleOf("2026-08-03", Analyte::kFreeChlorine, 0.1, true),
                                       SampleOf("2026-08-03", Analyte::kTotalChlorine, 0.6),
                                       SampleOf("2026-08-03", Analyte::kFreeAmmonia, 0.3),
                                       SampleOf("2026-08-03", Analyte::kFreeChlorine, 0.5),
                                       SampleOf("2026-08-04", Analyte::kNitrite, 0.02)};
  const auto free = ReadingsOf(samples, "North", {Disinfectant::kFreeChlorine, 0.2});
  ASSERT_EQ(free.size(), 2U);
  EXPECT_EQ(free[0].analyte, Analyte::kFreeChlorine);
  EXPECT_TRUE(free[0].below_detection);
  EXPECT_FALSE(free[0].undetected);  // the total was there
  EXPECT_TRUE(free[0].below_limit);
  EXPECT_DOUBLE_EQ(free[1].mg_per_l, 0.5);
  EXPECT_FALSE(free[1].below_limit);
  const auto chloramine = ReadingsOf(samples, "North", {Disinfectant::kChloramine, 0.6});
  ASSERT_EQ(chloramine.size(), 2U);
  EXPECT_DOUBLE_EQ(chloramine[0].mg_per_l, 0.6);
  EXPECT_FALSE(chloramine[0].below_limit);
}

TEST(Readings, TheHighestLimitBindsAndTheTargetStandsInForNone) {
  FlushPoint point;
  point.code = PointCode("P1");
  point.supply_zone = "North";
  SupplyZone zone;
  zone.target_residual = Sourced<Concentration>{Concentration::MilligramsPerLitre(0.4), {}};
  EXPECT_EQ(LeastResidualOf(point, {}, nullptr), std::nullopt);
  EXPECT_DOUBLE_EQ(*LeastResidualOf(point, {}, &zone), 0.4);
  const auto limit = [](LimitScope scope, const char* subject, double mg_per_l) {
    return Limit{{}, scope, subject, LeastResidual{Concentration::MilligramsPerLitre(mg_per_l)}, "rule"};
  };
  const std::vector<Limit> limits = {limit(LimitScope::kSystem, "", 0.2),
                                     limit(LimitScope::kZone, "North", 0.3),
                                     limit(LimitScope::kZone, "South", 0.9)};
  EXPECT_DOUBLE_EQ(*LeastResidualOf(point, limits, &zone), 0.3);
}

TEST(Readings, AMonthIsSummedUp) {
  std::vector<Sample> samples = {SampleOf("2026-07-03", Analyte::kFreeChlorine, 0.05, true),
                                 SampleOf("2026-08-03", Analyte::kFreeChlorine, 0.5),
                                 SampleOf("2026-08-10", Analyte::kFreeChlorine, 0.1),
                                 SampleOf("2026-08-17", Analyte::kFreeChlorine, 0.05, true),
                                 SampleOf("2026-09-01", Analyte::kFreeChlorine, 9)};
  const auto readings = ReadingsOf(samples, "North", {Disinfectant::kFreeChlorine, 0.2});
  const ResidualSummary summary = SummariseReadings(readings, "North", year(2026) / August);
  EXPECT_EQ(summary.readings, 3);
  EXPECT_DOUBLE_EQ(summary.mean_mg_per_l, 0.2);
  EXPECT_DOUBLE_EQ(summary.lowest->mg_per_l, 0);
  EXPECT_EQ(summary.below_limit, 2);
  EXPECT_NEAR(UndetectedPercent(summary.detection), 100.0 / 3, 1e-12);
  EXPECT_DOUBLE_EQ(UndetectedPercent(summary.detection_before), 100);
  EXPECT_TRUE(summary.over_in_both);
  EXPECT_FALSE(summary.year);  // nothing up to June, the end of the last whole quarter
  EXPECT_EQ(SummariseReadings(readings, "South", year(2026) / August).readings, 0);
}

TEST(RunningAverage, IsTheMeanOfMonthlyMeansToTheLastWholeQuarter) {
  EXPECT_EQ(LastQuarterEnd(year(2026) / 8), year(2026) / 6);
  EXPECT_EQ(LastQuarterEnd(year(2026) / 9), year(2026) / 9);
  EXPECT_EQ(LastQuarterEnd(year(2026) / 2), year(2025) / 12);
  const std::vector<DatedValue> samples = {{year(2026) / 6 / 1, 1.0},
                                           {year(2026) / 6 / 9, 3.0},
                                           {year(2025) / 7 / 31, 4.0},
                                           {year(2025) / 6 / 30, 90},
                                           {year(2026) / 7 / 1, 90}};
  const auto average = YearOfMonths(samples, year(2026) / 6);
  ASSERT_TRUE(average);
  EXPECT_DOUBLE_EQ(average->mg_per_l, 3.0);
  EXPECT_EQ(average->parts, 2);
}

TEST(RunningAverage, FewerQuartersAreAveragedAsTheyAreAndMayBeOverAlready) {
  const std::vector<DatedValue> samples = {{year(2026) / 8 / 1, 0.2}, {year(2026) / 5 / 1, 0.13}};
  const auto average = FourQuarters(samples, year(2026) / 8, 0.080);
  EXPECT_EQ(average.mean->parts, 2);
  EXPECT_DOUBLE_EQ(average.mean->mg_per_l, 0.165);
  EXPECT_TRUE(average.over_already);
  EXPECT_FALSE(average.evaluation_level_mg_per_l);
  EXPECT_FALSE(FourQuarters(std::span(samples).first(1), year(2026) / 8, 0.080).over_already);
}

}  // namespace
}  // namespace lastreach
