#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "store/database.h"
#include "store/project_fixture.h"

namespace lastreach {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

Sample FullSample() {
  Sample sample;
  sample.point = Code();
  sample.day = *ParseDate("2026-07-03");
  sample.minute_of_day = 790;
  sample.analyte = Analyte::kTotalChlorine;
  sample.residual = Concentration::MilligramsPerLitre(0.1);
  sample.below_detection = true;
  sample.original = "<0.1T";
  sample.temperature = Temperature::Fahrenheit(71.5);
  sample.who = "R. Ames";
  sample.notes = "before the run";
  return sample;
}

TEST_F(ProjectFile, SamplesReadBackInOrderOfTime) {
  Project project = WithPoint();
  Sample full = FullSample();
  Sample bare;
  bare.point = Code();
  bare.day = full.day;
  bare.residual = Concentration::MilligramsPerLitre(1.2);
  Sample early = bare;
  early.day = *ParseDate("2026-07-01");
  bare.id = *project.AddSample(bare);
  full.id = *project.AddSample(full);
  early.id = *project.AddSample(early);
  EXPECT_THAT(*project.Samples(), ElementsAre(early, full, bare));
  EXPECT_THAT(*project.SamplesOf(Code()), ElementsAre(early, full, bare));
  EXPECT_THAT(*project.SamplesOf(PointCode("BO-2")), IsEmpty());
}

TEST_F(ProjectFile, MeterReadsAndVisitsReadBack) {
  Project project = WithPoint();
  MeterRead read{{},       Code(), *ParseDate("2026-07-03"), 545, Volume::Gallons(1234500), "12345 x100 gal",
                 "R. Ames"};
  MeterRead bare{{}, Code(), *ParseDate("2026-07-02"), {}, Volume::CubicMetres(0), "0", ""};
  read.id = *project.AddMeterRead(read);
  bare.id = *project.AddMeterRead(bare);
  EXPECT_THAT(*project.MeterReads(), ElementsAre(bare, read));
  EXPECT_THAT(*project.MeterReadsOf(Code()), ElementsAre(bare, read));
  Visit visit = AVisit("lid stuck");
  visit.id = *project.AddVisit(visit);
  EXPECT_THAT(*project.Visits(), ElementsAre(visit));
  EXPECT_THAT(*project.VisitsOf(Code()), ElementsAre(visit));
}

TEST_F(ProjectFile, ARecordOfAnUnknownPointIsRefused) {
  Project project = New();
  EXPECT_EQ(project.AddSample(FullSample()).error().code, ErrorCode::kNotFound);
  EXPECT_EQ(project.AddVisit(AVisit("")).error().code, ErrorCode::kNotFound);
}

TEST_F(ProjectFile, ACorrectedSampleIsHiddenButKept) {
  Project project = WithPoint();
  const SampleId wrong = *project.AddSample(FullSample());
  Sample right = FullSample();
  right.residual = Concentration::MilligramsPerLitre(0.3);
  right.id = *project.AddSample(right, wrong);
  EXPECT_THAT(*project.Samples(), ElementsAre(right));
  const auto raw = Database::Open(Path(), 100);
  ASSERT_TRUE(raw.ok());
  EXPECT_EQ(**(*raw)->QueryInt("SELECT count(*) FROM samples"), 2);
}

TEST_F(ProjectFile, ACorrectionMustBeOfTheSamePoint) {
  Project project = WithPoint();
  FlushPoint other = FullPoint();
  other.code = PointCode("BO-2");
  ASSERT_TRUE(project.PutFlushPoint(other).ok());
  const SampleId id = *project.AddSample(FullSample());
  Sample moved = FullSample();
  moved.point = other.code;
  EXPECT_EQ(project.AddSample(moved, id).error().code, ErrorCode::kNotFound);
}

// Not a promise of the code that writes, but of the file: any program that tries is refused.
TEST_F(ProjectFile, WhatWasSeenOrKeyedCanNeitherBeChangedNorDeletedByAnyProgram) {
  Project project = WithPoint();
  ASSERT_TRUE(project.AddSample(FullSample()).ok());
  ASSERT_TRUE(project.AddVisit(AVisit("")).ok());
  ASSERT_TRUE(
      project.AddMeterRead({{}, Code(), *ParseDate("2026-07-03"), 545, Volume::Gallons(1), "1", ""}).ok());
  SettingsRecord settings;
  settings.point = Code();
  ASSERT_TRUE(project.AddSettings(settings).ok());
  ASSERT_TRUE(project.LogImport({{}, "a.csv", "samples", {}, "", 1, 1}, {{3, "", "", "why", ""}}).ok());
  ASSERT_TRUE(project.PutPlan({Code(), "summer", {}, "{}"}).ok());
  const auto raw = Database::Open(Path(), 100);
  ASSERT_TRUE(raw.ok());
  for (const std::string table :
       {"samples", "visits", "meter_reads", "settings_records", "import_log", "rejected_rows", "plans"}) {
    for (const std::string& sql : {"UPDATE " + table + " SET id = id + 1", "DELETE FROM " + table,
                                   "INSERT OR REPLACE INTO " + table + " SELECT * FROM " + table}) {
      const Status done = (*raw)->Run(sql);
      ASSERT_FALSE(done.ok()) << sql;
      EXPECT_EQ(done.error().code, ErrorCode::kConflict);
      EXPECT_THAT(done.error().message, HasSubstr(table + " is append-only")) << sql;
    }
    EXPECT_EQ(**(*raw)->QueryInt("SELECT count(*) FROM " + table), 1) << table;
  }
}

TEST_F(ProjectFile, ASupplyZoneReadsBackFullAndEmpty) {
  Project project = New();
  SupplyZone full;
  full.name = "North";
  full.disinfectant = Disinfectant::kChloramine;
  full.target_residual = {{Concentration::MilligramsPerLitre(0.4), Typed("a")}};
  full.upstream_residual = {{Concentration::MilligramsPerLitre(1.1), Typed("b")}};
  full.bulk_per_day_at_20c = {{0.35, Typed("c")}};
  full.wall_m_per_day = {{1.0 / 3, Typed("d")}};
  full.worst_week = {{Temperature::Fahrenheit(81), Typed("e")}};
  full.demand_per_service = {{Flow::GallonsPerDay(211), {OriginKind::kAssumed, "", {}, ""}}};
  SupplyZone empty;
  empty.name = "South";
  ASSERT_TRUE(project.PutSupplyZone(empty).ok());
  ASSERT_TRUE(project.PutSupplyZone(full).ok());
  EXPECT_THAT(*project.SupplyZones(), ElementsAre(full, empty));
}

TEST_F(ProjectFile, EachKindOfLimitReadsBackAndIsAddedOnce) {
  Project project = New();
  std::vector<Limit> limits = {
      {{}, LimitScope::kPoint, "FP-014", ForbiddenHours{435, 540, {0x1F}}, "head teacher, by phone"},
      {{}, LimitScope::kZone, "North", MostFlow{Flow::GallonsPerMinute(100)}, "tank level"},
      {{}, LimitScope::kSystem, "", MostVolumeARun{Volume::Gallons(5000)}, "permit 12"},
      {{}, LimitScope::kSystem, "", MostVolumeADay{Volume::CubicMetres(20)}, "permit 12"},
      {{}, LimitScope::kSystem, "", LeastResidual{Concentration::MilligramsPerLitre(0.2)}, "state rule"},
      {{}, LimitScope::kSystem, "", LeastPressure{Pressure::PoundsPerSquareInch(20)}, "state rule"},
      {{}, LimitScope::kZone, "North", MostTogether{2}, "operator"},
      {{}, LimitScope::kZone, "North", LeastTankLevel{"Hill Tank", Length::Feet(10)}, "fire department"},
      {{}, LimitScope::kPoint, "FP-014", FrostMonths{11, 3, {}}, "street crew"},
      {{}, LimitScope::kSystem, "", FrostMonths{12, 2, DischargeTo::kStormDrain}, "street crew"},
      {{}, LimitScope::kSystem, "", DroughtStage{2, Volume::Gallons(25000)}, "council"},
      {{}, LimitScope::kPoint, "FP-014", MostVolumeBetweenRefills{Volume::Gallons(18000)}, "label"},
      {{}, LimitScope::kSystem, "", LeastFlushEvery{31}, "state rule"}};
  for (Limit& limit : limits) limit.id = *project.AddLimit(limit);
  EXPECT_EQ(*project.Limits(), limits);
  EXPECT_EQ(*project.AddLimit(limits[1]), limits[1].id);
  EXPECT_EQ(project.Limits()->size(), limits.size());
  ASSERT_TRUE(project.RemoveLimit(limits[0].id).ok());
  EXPECT_EQ(project.Limits()->size(), limits.size() - 1);
  EXPECT_EQ(project.RemoveLimit(limits[0].id).error().code, ErrorCode::kNotFound);
}

TEST_F(ProjectFile, ALimitForTheWrongScopeIsRefused) {
  Project project = New();
  const Limit limit{{}, LimitScope::kPoint, "FP-014", MostTogether{2}, "me"};
  EXPECT_EQ(project.AddLimit(limit).error().code, ErrorCode::kBadInput);
  EXPECT_THAT(*project.Limits(), IsEmpty());
}

TEST_F(ProjectFile, RemembersColumnsByKindAndSetOfHeadings) {
  Project project = New();
  const std::vector<ChosenColumn> columns = {{"code", "Tag", ""}, {"length", "Len", "ft"}};
  ASSERT_TRUE(project.RememberColumns("devices", {"Tag", "Len", "Colour"}, columns).ok());
  EXPECT_EQ(*project.RecallColumns("devices", {"Colour", "Len", "Tag"}), columns);
  EXPECT_THAT(*project.RecallColumns("samples", {"Tag", "Len", "Colour"}), IsEmpty());
  EXPECT_THAT(*project.RecallColumns("devices", {"Tag", "Len"}), IsEmpty());
  ASSERT_TRUE(project.RememberColumns("devices", {"Tag", "Len", "Colour"}, {{"code", "Tag", ""}}).ok());
  EXPECT_EQ(project.RecallColumns("devices", {"Tag", "Len", "Colour"})->size(), 1U);
}

TEST_F(ProjectFile, KnowsEveryHeadingThatEverFilledAField) {
  Project project = New();
  EXPECT_THAT(*project.RememberedHeadings("devices"), IsEmpty());
  ASSERT_TRUE(project.RememberColumns("devices", {"Tag", "Colour"}, {{"code", "Tag", ""}}).ok());
  ASSERT_TRUE(
      project.RememberColumns("devices", {"Tag", "Len"}, {{"code", "Tag", ""}, {"length", "Len", "ft"}})
          .ok());
  EXPECT_EQ(*project.RememberedHeadings("devices"), (std::vector<std::string>{"Len", "Tag"}));
  EXPECT_THAT(*project.RememberedHeadings("samples"), IsEmpty());
}

TEST_F(ProjectFile, KeepsTheLogOfImportsWithTheirRejectedRows) {
  Project project = New();
  ImportEntry entry{{}, "aug.csv", "samples", At("2026-08-01T12:00:00Z"), "R. Ames", 32, 2};
  const std::vector<RejectedRow> rejected = {{17, "Resid.", "-0.2", "negative", "a | -0.2"},
                                             {46, "", "", "headings again", "a | b"}};
  entry.id = *project.LogImport(entry, rejected);
  EXPECT_THAT(*project.Imports(), ElementsAre(entry));
  EXPECT_EQ(*project.RejectedRows(entry.id), rejected);
}

TEST_F(ProjectFile, TheLatestPlanIsFoundByPointAndSeason) {
  Project project = WithPoint();
  const StoredPlan summer{Code(), "summer 2026", At("2026-06-01T00:00:00Z"), "{\"minutes\": 30}"};
  const StoredPlan winter{Code(), "winter 2026", At("2026-05-01T00:00:00Z"), "{\"minutes\": 5}"};
  const StoredPlan whole{{}, "summer 2026", At("2026-06-01T00:00:00Z"), "{}"};
  for (const StoredPlan& plan : {summer, winter, whole}) ASSERT_TRUE(project.PutPlan(plan).ok());
  EXPECT_EQ(**project.LatestPlan(Code()), summer);
  EXPECT_EQ(**project.LatestPlan(Code(), "winter 2026"), winter);
  EXPECT_EQ(**project.LatestPlan(PointCode()), whole);
  EXPECT_FALSE(project.LatestPlan(Code(), "autumn")->has_value());
}

TEST_F(ProjectFile, APlanThroughTheYearIsKeptBesideThatOfASeason) {
  Project project = WithPoint();
  EXPECT_FALSE(project.LatestYearPlan()->has_value());
  const StoredPlan season{{}, "summer 2026", At("2026-06-01T00:00:00Z"), "{}"};
  StoredPlan year{{}, kYearPlanWords + std::string(" from 2026-04-01"), At("2026-06-02T00:00:00Z"), "{}"};
  ASSERT_TRUE(project.PutPlan(season).ok());
  ASSERT_TRUE(project.PutPlan(year).ok());
  EXPECT_EQ(**project.LatestPlan(PointCode()), season);
  EXPECT_EQ(**project.LatestYearPlan(), year);
  EXPECT_EQ(**project.LatestPlan(PointCode(), year.season), year);
  year.made = At("2026-06-03T00:00:00Z");
  ASSERT_TRUE(project.PutPlan(year).ok());
  EXPECT_EQ(**project.LatestYearPlan(), year);
}

TEST_F(ProjectFile, NumbersStandInTheFileAsPeopleWroteThem) {
  Project project = WithPoint();
  Sample sample = FullSample();
  sample.residual = Concentration::MilligramsPerLitre(0.4);
  ASSERT_TRUE(project.AddSample(sample).ok());
  const auto raw = Database::Open(Path(), 100);
  ASSERT_TRUE(raw.ok());
  std::string text;
  ASSERT_TRUE((*raw)
                  ->Query("SELECT residual_mg_per_l || ' ' || temperature_c AS both FROM samples", {},
                          [&](const Row& row) -> Status {
                            text = row.Text("both");
                            return Ok();
                          })
                  .ok());
  EXPECT_EQ(text.substr(0, 7), "0.4 21.");
}

}  // namespace
}  // namespace lastreach
