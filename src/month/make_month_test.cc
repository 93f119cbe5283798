#include "month/make_month.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "month/test_months.h"

namespace lastreach {
namespace {

std::vector<MonthException> OfPoint(const MonthReport& report, const char* code) {
  std::vector<MonthException> found;
  for (const MonthException& exception : report.exceptions) {
    if (exception.point == PointCode(code)) found.push_back(exception);
  }
  return found;
}

TEST(MakeMonth, SumsUpEveryPoint) {
  const MonthFacts facts = TestMonth();
  const MonthReport report = MakeMonth(facts);
  ASSERT_EQ(report.points.size(), 4U);
  EXPECT_EQ(report.through, Day("2026-08-31"));
  EXPECT_TRUE(report.is_over);
  // 258 m3 over 35 nights, 31 of them in August.
  EXPECT_NEAR(report.points[0].water.metered_m3, 258 * 31.0 / 35, 1e-9);
  EXPECT_NEAR(report.points[2].water.estimated_m3, 31 * 7 * 60 * 0.004, 1e-9);
  EXPECT_NEAR(report.points[3].water.estimated_m3, 31.3, 1e-9);
  double variance = 0;
  for (const MonthPoint& point : report.points) variance += std::pow(point.water.sd_m3(), 2);
  EXPECT_NEAR(report.sd_m3(), std::sqrt(variance), 1e-12);
  EXPECT_EQ(report.visits, 2);
  EXPECT_NEAR(*report.supplied_m3, 60000, 1e-6);
  EXPECT_EQ(report.samples_needed, 3);
  EXPECT_TRUE(report.notes.empty());
}

TEST(MakeMonth, ResidualsOfAllAndOfEachZone) {
  const MonthFacts facts = TestMonth();
  const MonthReport report = MakeMonth(facts);
  ASSERT_EQ(report.residuals.size(), 3U);
  EXPECT_EQ(report.residuals[0].readings, 5);
  EXPECT_EQ(report.residuals[0].below_limit, 2);
  EXPECT_DOUBLE_EQ(UndetectedPercent(report.residuals[0].detection), 20);
  EXPECT_EQ(report.residuals[1].zone, "North");
  EXPECT_EQ(report.residuals[1].readings, 4);
  EXPECT_EQ(report.residuals[2].readings, 1);
  ASSERT_EQ(report.byproducts.size(), 1U);
  EXPECT_NEAR(report.byproducts[0].average.mean->mg_per_l, 0.0775, 1e-12);
}

TEST(MakeMonth, WhatIsFedFollowsTheWaterAndTheResidual) {
  MonthFacts facts = TestMonth();
  const MonthReport report = MakeMonth(facts);
  ASSERT_EQ(report.dechlorination.size(), 1U);
  const MonthDechlorination& use = report.dechlorination[0];
  EXPECT_EQ(use.agent, "sodium sulfite");
  EXPECT_NEAR(*use.chlorine_kg, 52.08 * 1.2e-3, 1e-9);
  EXPECT_NEAR(*use.agent_kg, 52.08 * 1.2e-3 * 126.037 / 70.90, 1e-9);
  EXPECT_EQ(use.refills, 1);
  EXPECT_DOUBLE_EQ(*use.refilled_kg, 2);
  facts.doses_mg_per_mg["sodium sulfite"] = 1.96;
  EXPECT_NEAR(*MakeMonth(facts).dechlorination[0].agent_kg, 52.08 * 1.2e-3 * 1.96, 1e-9);
  // How far thiosulfate goes depends on pH and time: no number unless somebody gives one.
  facts.points[2].point.dechlorination = "sodium thiosulphate";
  EXPECT_FALSE(MakeMonth(facts).dechlorination[0].agent_kg);
  facts.doses_mg_per_mg["sodium thiosulfate"] = 1.9;
  EXPECT_NEAR(*MakeMonth(facts).dechlorination[0].agent_kg, 52.08 * 1.2e-3 * 1.9, 1e-9);
}

TEST(MakeMonth, ExceptionsAreFoundAndClosedByWhatCameLater) {
  MonthFacts facts = TestMonth();
  const MonthReport report = MakeMonth(facts);
  EXPECT_TRUE(OfPoint(report, "P1").empty());
  const auto stuck = OfPoint(report, "P2");
  ASSERT_EQ(stuck.size(), 2U);
  EXPECT_EQ(stuck[0].kind, ExceptionKind::kBelowLimit);
  EXPECT_EQ(stuck[0].times, 2);
  EXPECT_DOUBLE_EQ(stuck[0].found, 0);
  EXPECT_EQ(stuck[0].closed_on, Day("2026-09-04"));
  EXPECT_EQ(stuck[1].kind, ExceptionKind::kUnlikeSettings);
  EXPECT_NEAR(stuck[1].expected, 16 * 10 * 60 * 0.004, 1e-9);
  EXPECT_EQ(stuck[1].closed_on, Day("2026-09-02"));
  facts.points[1].samples.pop_back();
  facts.points[1].reads.pop_back();
  const auto open = OfPoint(MakeMonth(facts), "P2");
  ASSERT_EQ(open.size(), 2U);
  for (const MonthException& exception : open) EXPECT_FALSE(exception.closed_on);
  EXPECT_THAT(open[1].likeliest, testing::HasSubstr("%"));
  facts.points[1].reads.pop_back();
  const auto unread = OfPoint(MakeMonth(facts), "P2");
  ASSERT_EQ(unread.size(), 2U);
  EXPECT_EQ(unread[1].kind, ExceptionKind::kNoRead);
  EXPECT_EQ(unread[1].since, Day("2026-07-29"));
}

TEST(MakeMonth, TemporarySettingsPastTheirDayStandOutUntilOthersAreLeft) {
  MonthFacts facts = TestMonth();
  SettingsRecord burn = Recorded(SettingsKind::kAsLeft, At("2026-08-03", 9), Keyed({60}, 31));
  burn.revert_by = Day("2026-08-20");
  facts.points[0].settings.push_back(burn);
  const auto open = OfPoint(MakeMonth(facts), "P1");
  ASSERT_EQ(open.size(), 1U);
  EXPECT_EQ(open[0].kind, ExceptionKind::kSettingsOverdue);
  EXPECT_FALSE(open[0].closed_on);
  facts.points[0].settings.push_back(Recorded(SettingsKind::kAsLeft, At("2026-09-10", 9), Keyed({60}, 31)));
  EXPECT_EQ(OfPoint(MakeMonth(facts), "P1")[0].closed_on, Day("2026-09-10"));
  facts.points[0].settings.back().recorded = At("2026-08-19", 9);
  EXPECT_TRUE(OfPoint(MakeMonth(facts), "P1").empty());
}

TEST(MakeMonth, AMonthThatIsNotOverIsCountedSoFar) {
  MonthFacts facts = TestMonth();
  facts.now = At("2026-08-15", 12);
  const MonthReport report = MakeMonth(facts);
  EXPECT_FALSE(report.is_over);
  EXPECT_EQ(report.through, Day("2026-08-15"));
  EXPECT_NEAR(report.points[2].water.runs, 15, 1e-9);
  EXPECT_THAT(report.notes, testing::Contains(testing::HasSubstr("2026-08-15")));
}

}  // namespace
}  // namespace lastreach
