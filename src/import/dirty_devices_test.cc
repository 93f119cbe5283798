// Everything in data/fixtures/dirty-devices.csv is invented; each kind of dirt has been seen in real sheets.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <map>
#include <set>

#include "import/import.h"

namespace lastreach {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

class DirtyDevices : public testing::Test {
 protected:
  void SetUp() override {
    auto table = ReadTable("data/fixtures/dirty-devices.csv", TableKind::kDevices);
    ASSERT_TRUE(table.ok()) << table.error().ToString();
    table_ = std::move(*table);
    auto preview = MapColumns(table_, TableKind::kDevices);
    ASSERT_TRUE(preview.ok()) << preview.error().ToString();
    preview_ = std::move(*preview);
    ImportContext context;
    context.zone = *Zone::Find("America/Chicago");
    context.who = "R. Ames";
    context.when = *ParseRfc3339("2026-08-01T12:00:00Z");
    result_ = ImportRows(table_, preview_, context);
    for (const FlushPoint& point : result_.points) points_[point.code.text()] = point;
    for (const Reach& reach : result_.reaches) reaches_[reach.point.text()] = reach;
    for (const SettingsRecord& record : result_.settings) settings_[record.point.text()] = record;
  }

  Table table_;
  Preview preview_;
  ImportResult result_;
  std::map<std::string, FlushPoint> points_;
  std::map<std::string, Reach> reaches_;
  std::map<std::string, SettingsRecord> settings_;
};

// The heart of it: no line is lost and none is counted twice.
TEST_F(DirtyDevices, EveryLineIsInOrListedOrBlankOrAboveTheHeadings) {
  std::multiset<int> accounted = {table_.heading_line};
  accounted.insert(table_.title_lines.begin(), table_.title_lines.end());
  accounted.insert(table_.blank_lines.begin(), table_.blank_lines.end());
  for (const TableRow& row : table_.rows) {
    for (int line = row.line; line <= row.last_line; ++line) accounted.insert(line);
  }
  std::multiset<int> all;
  for (int line = 1; line <= 55; ++line) all.insert(line);
  EXPECT_EQ(table_.lines, 55);
  EXPECT_EQ(accounted, all);
  EXPECT_EQ(static_cast<size_t>(result_.rows_in), result_.points.size());
  EXPECT_EQ(static_cast<size_t>(result_.rows_in) + result_.rejected.size(), table_.rows.size());
}

TEST_F(DirtyDevices, RejectedRowsAreListedWithLineAndReason) {
  const std::map<int, std::string> reasons = {
      {35, "the code is in line 5 already"},
      {36, "the code is in line 6 already"},
      {37, "the code is missing"},
      {38, "these are the headings again"},
      {40, "more cells than headings"},
      {52, "sums up the others"},
      {54, "a quote is opened and not closed in its cell (lines 54 to 55)"}};
  ASSERT_EQ(result_.rejected.size(), reasons.size());
  for (const RejectedRow& row : result_.rejected) {
    ASSERT_EQ(reasons.count(row.line), 1U) << row.line << ": " << row.reason;
    EXPECT_THAT(row.reason, HasSubstr(reasons.at(row.line)));
    EXPECT_FALSE(row.original.empty());
  }
}

TEST_F(DirtyDevices, CellsLeftOutOfRowsThatCameInAreListed) {
  const std::map<int, std::string> reasons = {{21, "S may be Saturday or Sunday"},
                                              {22, "not a time of day"},
                                              {23, "starts but no minutes"},
                                              {25, "on or off"},
                                              {28, "how far the clock is off"},
                                              {30, "0 is taken as not known"},
                                              {31, "not a number"},
                                              {32, "'furlongs' is no unit"},
                                              {33, "not between 0.01 and 3 m"},
                                              {34, "a whole number is wanted"},
                                              {44, "device or hand"},
                                              {46, "where the water goes"}};
  ASSERT_EQ(result_.left_out.size(), reasons.size());
  for (const RejectedRow& cell : result_.left_out) {
    ASSERT_EQ(reasons.count(cell.line), 1U) << cell.line << ": " << cell.reason;
    EXPECT_THAT(cell.reason, HasSubstr(reasons.at(cell.line)));
    EXPECT_FALSE(cell.column.empty());
  }
}

TEST_F(DirtyDevices, HeadingsAreFoundUnderTitlesAndThroughMisspellings) {
  EXPECT_EQ(table_.heading_line, 4);
  EXPECT_THAT(table_.title_lines, ElementsAre(1, 2));
  EXPECT_EQ(preview_.Find("length")->heading, "Lenght (ft)");
  EXPECT_EQ(preview_.Find("length")->how, ChosenHow::kSimilar);
  EXPECT_EQ(preview_.Find("place")->heading, "Adress");
  EXPECT_EQ(preview_.Find("diameter")->unit->name, "in");
  EXPECT_THAT(preview_.Find("diameter")->unit_why, HasSubstr("look like inches"));
  EXPECT_TRUE(preview_.unused_headings.empty());
}

TEST_F(DirtyDevices, AboutMakesANumberEstimatedAndAMethodMakesItMeasured) {
  const ReachPipe& about = reaches_.at("FP-002").pipes[0];
  EXPECT_EQ(about.length.value, Length::Feet(300));
  EXPECT_EQ(about.length.origin.kind, OriginKind::kEstimated);
  EXPECT_EQ(about.length.origin.note, "written about 300 ft");
  EXPECT_EQ(about.length.origin.by, "R. Ames");
  EXPECT_EQ(points_.at("FP-002").flow->origin.kind, OriginKind::kMeasured);
  EXPECT_EQ(points_.at("FP-003").flow->origin.kind, OriginKind::kEstimated);
  EXPECT_EQ(reaches_.at("FP-003").pipes[0].length.value, Length::Feet(1250));
  EXPECT_EQ(reaches_.at("FP-001").pipes[0].length.origin.kind, OriginKind::kTyped);
}

TEST_F(DirtyDevices, AUnitInTheCellGoesBeforeTheColumns) {
  EXPECT_EQ(reaches_.at("FP-004").pipes[0].inner_diameter.value.inches(), 8);
  EXPECT_NEAR(reaches_.at("FP-005").pipes[0].inner_diameter.value.inches(), 6, 1e-12);
  EXPECT_NEAR(reaches_.at("FP-006").pipes[0].inner_diameter.value.millimetres(), 150, 1e-9);
  EXPECT_NEAR(reaches_.at("FP-006").pipes[0].length.value.metres(), 91, 1e-12);
  EXPECT_NEAR(points_.at("FP-006").flow->value.litres_per_second(), 4, 1e-12);
  EXPECT_NEAR(reaches_.at("FP-038").pipes[0].inner_diameter.value.inches(), 1.5, 1e-12);
  EXPECT_NEAR(reaches_.at("FP-037").pipes[0].length.value.feet(), 1200, 1e-9);
}

TEST_F(DirtyDevices, WhatNobodyKnowsStaysUnknown) {
  EXPECT_EQ(reaches_.count("FP-007"), 0U);
  EXPECT_FALSE(points_.at("FP-007").flow.has_value());
  EXPECT_EQ(reaches_.count("FP-025"), 0U);  // -9.99
  EXPECT_EQ(reaches_.at("FP-030").pipes[0].services.origin.kind, OriginKind::kAssumed);
}

TEST_F(DirtyDevices, SeveralPipesInOneCellMakeAReachWithItsServicesSharedOut) {
  const Reach& reach = reaches_.at("FP-008");
  ASSERT_EQ(reach.pipes.size(), 2U);
  EXPECT_EQ(reach.pipes[0].inner_diameter.value, Diameter::Inches(8));
  EXPECT_EQ(reach.pipes[0].length.value, Length::Feet(1200));
  EXPECT_EQ(reach.pipes[0].services.value, 12);
  EXPECT_EQ(reach.pipes[1].services.value, 4);
  EXPECT_EQ(reach.pipes[1].services.origin.kind, OriginKind::kEstimated);
}

TEST_F(DirtyDevices, SettingsAreReadHoweverTheyAreWritten) {
  const Weekdays mon_wed_fri{0x15};
  for (const char* code : {"FP-009", "FP-010", "FP-011"}) {
    EXPECT_EQ(settings_.at(code).settings.programmes[0].days, DayPattern(mon_wed_fri)) << code;
    EXPECT_EQ(settings_.at(code).settings.programmes[0].starts_min[0], 70) << code;
  }
  EXPECT_EQ(settings_.at("FP-010").settings.programmes[0].starts_min, (std::vector<int>{70, 790}));
  EXPECT_EQ(settings_.at("FP-012").settings.programmes[0].days, DayPattern(OddDates{}));
  EXPECT_EQ(settings_.at("FP-013").settings.programmes[0].days,
            DayPattern(EveryNDays{3, *ParseDate("2026-07-01")}));
  EXPECT_EQ(settings_.at("FP-013").settings.programmes[0].minutes, 75);
  EXPECT_EQ(settings_.at("FP-014").settings.programmes[0].days, DayPattern(EveryNDays{3, {}}));
  EXPECT_EQ(settings_.at("FP-015").settings.percent, 130);
  EXPECT_EQ(settings_.at("FP-016").settings.percent, 130);
  EXPECT_FALSE(settings_.at("FP-020").settings.on);
  EXPECT_EQ(settings_.at("FP-022").clock_fast_minutes, 12);
  EXPECT_EQ(settings_.at("FP-023").clock_fast_minutes, -5);
  ASSERT_EQ(settings_.at("FP-033").settings.programmes.size(), 2U);
  EXPECT_EQ(settings_.at("FP-033").settings.programmes[1].starts_min, std::vector<int>{240});
}

TEST_F(DirtyDevices, SettingsWithOneBadCellDoNotComeInByHalves) {
  for (const char* code : {"FP-017", "FP-018", "FP-019", "FP-021"}) {
    EXPECT_EQ(points_.count(code), 1U) << code;
    EXPECT_EQ(settings_.count(code), 0U) << code;
  }
}

TEST_F(DirtyDevices, ARowWithoutProgrammesIsFlushedByHandIfItsKindSaysSo) {
  EXPECT_EQ(points_.at("BO-1").kind, PointKind::kHand);
  EXPECT_EQ(settings_.count("BO-1"), 0U);
  EXPECT_EQ(points_.at("FP-039").kind, PointKind::kDevice);
}

TEST_F(DirtyDevices, TheSameSheetAgainAddsNoSettings) {
  ImportContext context;
  context.known_points = result_.points;
  context.known_settings = result_.settings;
  const ImportResult again = ImportRows(table_, preview_, context);
  EXPECT_EQ(again.points.size(), result_.points.size());
  EXPECT_TRUE(again.settings.empty());
}

TEST_F(DirtyDevices, QuotedLineBreaksAndQuotesStayInTheirCell) {
  EXPECT_EQ(points_.at("FP-032").place, "Quarry Rd,\nbehind the \"old\" barn");
}

}  // namespace
}  // namespace lastreach
