// Everything in data/fixtures/dirty-samples.csv is invented; each kind of dirt has been seen in real sheets.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <map>
#include <set>

#include "import/import.h"

namespace lastreach {
namespace {

using testing::HasSubstr;

class DirtySamples : public testing::Test {
 protected:
  void SetUp() override {
    auto table = ReadTable("data/fixtures/dirty-samples.csv", TableKind::kSamples);
    ASSERT_TRUE(table.ok()) << table.error().ToString();
    table_ = std::move(*table);
    auto preview = MapColumns(table_, TableKind::kSamples);
    ASSERT_TRUE(preview.ok()) << preview.error().ToString();
    preview_ = std::move(*preview);
    context_.zone = *Zone::Find("America/Chicago");
    context_.who = "R. Ames";
    context_.when = *ParseRfc3339("2026-08-01T12:00:00Z");
    for (const auto& [code, place] :
         {std::pair("FP-001", "Heron Lane 14"), {"FP-002", "Mill Rd"}, {"FP-003", "Mill Rd."}}) {
      FlushPoint point;
      point.code = PointCode(code);
      point.place = place;
      context_.known_points.push_back(point);
    }
    result_ = ImportRows(table_, preview_, context_);
  }

  // The samples of one day.
  std::vector<Sample> On(const char* day) const {
    std::vector<Sample> samples;
    for (const Sample& sample : result_.samples) {
      if (FormatDate(sample.day) == day) samples.push_back(sample);
    }
    return samples;
  }
  // The one sample of a day.
  Sample The(const char* day) const {
    const std::vector<Sample> samples = On(day);
    EXPECT_EQ(samples.size(), 1U) << day;
    return samples.empty() ? Sample() : samples[0];
  }
  static double MgPerL(const Sample& sample) { return sample.residual.milligrams_per_litre(); }

  Table table_;
  Preview preview_;
  ImportContext context_;
  ImportResult result_;
};

TEST_F(DirtySamples, EveryLineIsInOrListedOrBlankOrAboveTheHeadings) {
  std::multiset<int> accounted = {table_.heading_line};
  accounted.insert(table_.title_lines.begin(), table_.title_lines.end());
  accounted.insert(table_.blank_lines.begin(), table_.blank_lines.end());
  for (const TableRow& row : table_.rows) {
    for (int line = row.line; line <= row.last_line; ++line) accounted.insert(line);
  }
  std::multiset<int> all;
  for (int line = 1; line <= 57; ++line) all.insert(line);
  EXPECT_EQ(table_.lines, 57);
  EXPECT_EQ(accounted, all);
  EXPECT_EQ(static_cast<size_t>(result_.rows_in) + result_.rejected.size(), table_.rows.size());
  // One row holds a pair of readings, every other row one.
  EXPECT_EQ(result_.samples.size(), static_cast<size_t>(result_.rows_in) + 1);
}

TEST_F(DirtySamples, RejectedRowsAreListedWithLineAndReason) {
  const std::map<int, std::string> reasons = {{17, "negative"},
                                              {18, "above 10 mg/L"},
                                              {19, "beyond what the kit can read"},
                                              {20, "no residual"},
                                              {21, "not a reading"},
                                              {22, "more free than total"},
                                              {25, "no such flush point"},
                                              {26, "the flush point is missing"},
                                              {27, "the date is missing"},
                                              {28, "no such day"},
                                              {29, "in the future"},
                                              {30, "not a date"},
                                              {31, "clocks never showed that time"},
                                              {38, "this reading is in line 3 already"},
                                              {46, "these are the headings again"},
                                              {49, "'x' behind the reading"},
                                              {50, "free, total or mono is wanted"},
                                              {51, "more cells than headings"},
                                              {53, "sums up the others"},
                                              {54, "more than one flush point stands there"},
                                              {55, "no residual"},
                                              {57, "not a date"}};
  EXPECT_EQ(result_.rejected.size(), reasons.size());
  for (const RejectedRow& row : result_.rejected) {
    ASSERT_EQ(reasons.count(row.line), 1U) << row.line << ": " << row.reason;
    EXPECT_THAT(row.reason, HasSubstr(reasons.at(row.line)));
    EXPECT_FALSE(row.original.empty());
  }
}

TEST_F(DirtySamples, CellsLeftOutOfRowsThatCameInAreListed) {
  std::map<int, std::string> left_out;
  for (const RejectedRow& cell : result_.left_out) left_out[cell.line] = cell.column + ": " + cell.reason;
  ASSERT_EQ(left_out.size(), 3U);
  EXPECT_THAT(left_out[33], HasSubstr("Time: this is not a time of day"));
  EXPECT_THAT(left_out[39], HasSubstr("Temp: this is not a number"));
  EXPECT_THAT(left_out[41], HasSubstr("Temp: this is not between -0.5 and 45 C"));
}

TEST_F(DirtySamples, DatesOfManyHandsAreReadRowByRow) {
  EXPECT_EQ(The("2026-07-13").original, "0.7 mg/L");  // day 46216 of a spreadsheet
  EXPECT_EQ(MgPerL(The("2026-07-04")), 0.4);          // Jul 4, 2026
  EXPECT_EQ(On("2026-07-12").size(), 1U);             // 20260712
  EXPECT_EQ(On("2026-07-10").size(), 1U);             // Fri 10 July 2026
}

TEST_F(DirtySamples, DayAndMonthAreSettledByTheDatesThatTell) {
  EXPECT_EQ(*preview_.Find("date")->date_order, DateOrder::kDayFirst);
  EXPECT_EQ(On("2026-04-03").size(), 1U);
  EXPECT_EQ(On("2026-03-04").size(), 0U);
}

TEST_F(DirtySamples, WhatWasWrittenStaysBesideWhatItWasTakenToMean) {
  EXPECT_TRUE(The("2026-07-23").below_detection);
  EXPECT_EQ(MgPerL(The("2026-07-23")), 0.1);
  EXPECT_EQ(The("2026-07-23").original, "<0.1");
  for (const char* day : {"2026-07-11", "2026-07-12", "2026-07-17"}) {  // ND, BDL, trace
    EXPECT_TRUE(The(day).below_detection) << day;
    EXPECT_EQ(The(day).residual, context_.detection_limit) << day;
  }
  EXPECT_EQ(The("2026-07-17").original, "trace");
  EXPECT_THAT(The("2026-06-07").notes, HasSubstr("about"));
}

TEST_F(DirtySamples, FreeAndTotalAreToldApart) {
  EXPECT_EQ(The("2026-07-14").analyte, Analyte::kTotalChlorine);  // 0.6T
  EXPECT_EQ(The("2026-07-15").analyte, Analyte::kFreeChlorine);   // 0.6 F
  EXPECT_EQ(The("2026-07-18").analyte, Analyte::kTotalChlorine);  // by the column beside it
  const std::vector<Sample> pair = On("2026-07-16");              // 1.2/1.5
  ASSERT_EQ(pair.size(), 2U);
  EXPECT_EQ(pair[0].analyte, Analyte::kFreeChlorine);
  EXPECT_EQ(MgPerL(pair[0]), 1.2);
  EXPECT_EQ(pair[1].analyte, Analyte::kTotalChlorine);
  EXPECT_EQ(MgPerL(pair[1]), 1.5);
}

TEST_F(DirtySamples, PointsAreFoundByACodeWrittenLooselyOrByTheirPlace) {
  EXPECT_EQ(The("2026-07-25").point.text(), "FP-001");
  EXPECT_EQ(The("2026-07-26").point.text(), "FP-001");
  EXPECT_THAT(result_.notes, testing::Contains(HasSubstr("line 23: 'fp 1' was read as FP-001")));
}

TEST_F(DirtySamples, ATimeThatClocksShowedTwiceComesInWithANote) {
  EXPECT_EQ(The("2025-11-02").minute_of_day, 90);
  EXPECT_THAT(result_.notes, testing::Contains(HasSubstr("line 32: clocks showed 01:30 twice")));
}

TEST_F(DirtySamples, TemperaturesAreInCelsiusByTheirValuesUnlessTheCellSaysOtherwise) {
  EXPECT_EQ(preview_.Find("temperature")->unit->name, "C");
  EXPECT_THAT(preview_.Find("temperature")->unit_why, HasSubstr("look like degrees C"));
  EXPECT_NEAR(The("2026-06-02").temperature->fahrenheit(), 64, 1e-9);
  EXPECT_FALSE(The("2026-06-03").temperature.has_value());
}

TEST_F(DirtySamples, TextOfAnOldSpreadsheetKeepsItsLetters) {
  const std::vector<Sample> samples = On("2026-06-05");
  ASSERT_EQ(samples.size(), 2U);
  EXPECT_EQ(samples[0].notes, "two\nlines");
  EXPECT_EQ(samples[1].who, "J\xC3\xB6rg");
  EXPECT_EQ(samples[1].minute_of_day, 545);
}

TEST_F(DirtySamples, TheSameSheetAgainBringsNothingIn) {
  context_.known_samples = result_.samples;
  const ImportResult again = ImportRows(table_, preview_, context_);
  EXPECT_EQ(again.rows_in, 0);
  EXPECT_TRUE(again.samples.empty());
  EXPECT_EQ(again.rejected.size(), table_.rows.size());
  EXPECT_EQ(again.rejected[0].reason, "this reading is in the project already");
}

TEST_F(DirtySamples, ColumnsNobodyReadsAreNamed) {
  EXPECT_THAT(preview_.unused_headings, testing::ElementsAre("Colour"));
}

}  // namespace
}  // namespace lastreach
