// Flush runs, flow tests, test flushes, by-products and what was supplied; and what a file of the sixth
// version gains.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>

#include "store/database.h"
#include "store/project_fixture.h"
#include "store/schema.h"

namespace lastreach {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

FlushRun FullRun() {
  return {{},
          Code(),
          At("2026-07-03T14:05:00Z"),
          Duration::Minutes(22.5),
          Volume::Gallons(1350),
          MeasuredBy::kMeter,
          "R. Ames",
          "complaint",
          "brown for 2 min"};
}

FlowTest FullTest() {
  return {{},  Code(),    *ParseDate("2026-07-03"), 545, Flow::GallonsPerMinute(57), MeasuredBy::kDrum,
          0.1, "R. Ames", "55 gal in 58 s"};
}

TestFlush FullFlush() {
  TestFlush flush;
  flush.point = Code();
  flush.begun = At("2026-07-03T14:05:00Z");
  flush.analyte = Analyte::kTotalChlorine;
  flush.upstream = Concentration::MilligramsPerLitre(0.9);
  flush.readings = {
      {Duration(), Concentration::MilligramsPerLitre(0.05), true, {}, {}, {}, {}},
      {Duration::Minutes(5), {}, false, Temperature::Fahrenheit(78.5), 12.5, {}, {}},
      {Duration::Minutes(17.5), Concentration::MilligramsPerLitre(0.7), false, Temperature::Celsius(24.1),
       0.4, Flow::GallonsPerMinute(61), Pressure::PoundsPerSquareInch(38)}};
  flush.who = "R. Ames";
  flush.notes = "flat after 15 min";
  return flush;
}

TEST_F(ProjectFile, FlushRunsReadBackFullAndEmptyInOrderOfTime) {
  Project project = WithPoint();
  FlushRun full = FullRun();
  FlushRun bare{{}, Code(), At("2026-07-01T08:00:00Z"), Duration::Minutes(1), {}, MeasuredBy::kEstimate, "",
                "", ""};
  full.id = *project.AddFlushRun(full);
  bare.id = *project.AddFlushRun(bare);
  EXPECT_THAT(*project.FlushRuns(), ElementsAre(bare, full));
  EXPECT_THAT(*project.FlushRunsOf(Code()), ElementsAre(bare, full));
  EXPECT_THAT(*project.FlushRunsOf(PointCode("BO-2")), IsEmpty());
}

TEST_F(ProjectFile, ARunThatLastsNoTimeIsRefused) {
  Project project = WithPoint();
  FlushRun run = FullRun();
  run.lasted = Duration();
  EXPECT_EQ(project.AddFlushRun(run).error().code, ErrorCode::kBadInput);
  EXPECT_THAT(*project.FlushRuns(), IsEmpty());
}

TEST_F(ProjectFile, FlowTestsReadBackFullAndEmptyInOrderOfTime) {
  Project project = WithPoint();
  FlowTest full = FullTest();
  FlowTest bare{{}, Code(), full.day, {}, Flow::LitresPerSecond(3), MeasuredBy::kPitot, {}, "", ""};
  bare.id = *project.AddFlowTest(bare);
  full.id = *project.AddFlowTest(full);
  EXPECT_THAT(*project.FlowTests(), ElementsAre(full, bare));
  EXPECT_THAT(*project.FlowTestsOf(Code()), ElementsAre(full, bare));
  EXPECT_THAT(*project.FlowTestsOf(PointCode("BO-2")), IsEmpty());
}

TEST_F(ProjectFile, ATestFlushReadsBackWithItsReadingsAndNobodyElses) {
  Project project = WithPoint();
  FlushPoint other = FullPoint();
  other.code = PointCode("BO-2");
  ASSERT_TRUE(project.PutFlushPoint(other).ok());
  TestFlush full = FullFlush();
  TestFlush early = FullFlush();
  early.begun = At("2026-06-03T14:05:00Z");
  early.readings.resize(1);
  TestFlush elsewhere;
  elsewhere.point = other.code;
  elsewhere.begun = At("2026-07-04T00:00:00Z");
  full.id = *project.AddTestFlush(full);
  early.id = *project.AddTestFlush(early);
  elsewhere.id = *project.AddTestFlush(elsewhere);
  EXPECT_THAT(*project.TestFlushes(), ElementsAre(early, full, elsewhere));
  EXPECT_THAT(*project.TestFlushesOf(Code()), ElementsAre(early, full));
  EXPECT_THAT(*project.TestFlushesOf(other.code), ElementsAre(elsewhere));
}

TEST_F(ProjectFile, ReadingsOutOfOrderAreRefusedWhole) {
  Project project = WithPoint();
  TestFlush flush = FullFlush();
  std::swap(flush.readings[0], flush.readings[2]);
  EXPECT_EQ(project.AddTestFlush(flush).error().code, ErrorCode::kBadInput);
  EXPECT_THAT(*project.TestFlushes(), IsEmpty());
}

TEST_F(ProjectFile, ACorrectedFlushIsHiddenWithItsReadings) {
  Project project = WithPoint();
  const TestFlushId wrong_flush = *project.AddTestFlush(FullFlush());
  TestFlush flush = FullFlush();
  flush.readings.pop_back();
  flush.id = *project.AddTestFlush(flush, wrong_flush);
  EXPECT_THAT(*project.TestFlushes(), ElementsAre(flush));
  EXPECT_EQ(project.AddTestFlush(flush, wrong_flush).error().code, ErrorCode::kConflict);
  const FlushRunId wrong_run = *project.AddFlushRun(FullRun());
  FlushRun run = FullRun();
  run.volume.reset();
  run.id = *project.AddFlushRun(run, wrong_run);
  EXPECT_THAT(*project.FlushRuns(), ElementsAre(run));
  const FlowTestId wrong_test = *project.AddFlowTest(FullTest());
  FlowTest test = FullTest();
  test.accuracy.reset();
  test.id = *project.AddFlowTest(test, wrong_test);
  EXPECT_THAT(*project.FlowTests(), ElementsAre(test));
  const auto raw = Database::Open(Path(), 100);
  EXPECT_EQ(**(*raw)->QueryInt("SELECT count(*) FROM test_flush_readings"), 5);
}

TEST_F(ProjectFile, FlushesOfAnUnknownPointAreRefused) {
  Project project = New();
  EXPECT_EQ(project.AddFlushRun(FullRun()).error().code, ErrorCode::kNotFound);
  EXPECT_EQ(project.AddFlowTest(FullTest()).error().code, ErrorCode::kNotFound);
  EXPECT_EQ(project.AddTestFlush(FullFlush()).error().code, ErrorCode::kNotFound);
}

TEST_F(ProjectFile, ByproductsReadBackAndAreCorrectedOnlyAtTheirSite) {
  Project project = New();
  ByproductResult low{{},
                      "Mill St tap",
                      *ParseDate("2026-05-12"),
                      Byproduct::kHaloaceticAcids5,
                      Concentration::MicrogramsPerLitre(6),
                      true,
                      "<6.0 ug/L"};
  ByproductResult high{{},
                       "Mill St tap",
                       *ParseDate("2026-02-10"),
                       Byproduct::kTotalTrihalomethanes,
                       Concentration::MilligramsPerLitre(0.0612),
                       false,
                       "0.0612 mg/L"};
  low.id = *project.AddByproduct(low);
  high.id = *project.AddByproduct(high);
  EXPECT_THAT(*project.Byproducts(), ElementsAre(high, low));
  ByproductResult right = low;
  right.value = Concentration::MicrogramsPerLitre(5);
  ByproductResult moved = right;
  moved.site = "School";
  EXPECT_EQ(project.AddByproduct(moved, low.id).error().code, ErrorCode::kNotFound);
  right.id = *project.AddByproduct(right, low.id);
  EXPECT_THAT(*project.Byproducts(), ElementsAre(high, right));
  moved.site = "";
  EXPECT_EQ(project.AddByproduct(moved).error().code, ErrorCode::kBadInput);
}

TEST_F(ProjectFile, PuttingASuppliedMonthAgainCorrectsItAndKeepsTheOldRow) {
  Project project = New();
  const SuppliedMonth july{2026, 7, Volume::Gallons(31.4e6)};
  const SuppliedMonth august{2026, 8, Volume::CubicMetres(99000)};
  const SuppliedMonth before{2025, 12, Volume::CubicMetres(88000)};
  for (const SuppliedMonth& month : {august, july, before}) {
    ASSERT_TRUE(project.PutSuppliedMonth(month).ok());
  }
  ASSERT_TRUE(project.PutSuppliedMonth(july).ok());
  EXPECT_THAT(*project.SuppliedMonths(), ElementsAre(before, july, august));
  const SuppliedMonth right{2026, 7, Volume::Gallons(34.1e6)};
  ASSERT_TRUE(project.PutSuppliedMonth(right).ok());
  ASSERT_TRUE(project.PutSuppliedMonth(july).ok());  // and back again
  ASSERT_TRUE(project.PutSuppliedMonth(right).ok());
  EXPECT_THAT(*project.SuppliedMonths(), ElementsAre(before, right, august));
  EXPECT_EQ(project.PutSuppliedMonth({2026, 13, {}}).error().code, ErrorCode::kBadInput);
  const auto raw = Database::Open(Path(), 100);
  EXPECT_EQ(**(*raw)->QueryInt("SELECT count(*) FROM supplied_months"), 6);
}

TEST_F(ProjectFile, WhatWasFlushedAndSuppliedCanNeitherBeChangedNorDeletedByAnyProgram) {
  Project project = WithPoint();
  TestFlush flush = FullFlush();
  flush.readings.resize(1);
  ASSERT_TRUE(project.AddFlushRun(FullRun()).ok());
  ASSERT_TRUE(project.AddFlowTest(FullTest()).ok());
  ASSERT_TRUE(project.AddTestFlush(flush).ok());
  ASSERT_TRUE(project.AddByproduct({{}, "tap", *ParseDate("2026-05-12"), {}, {}, false, ""}).ok());
  ASSERT_TRUE(project.PutSuppliedMonth({2026, 7, {}}).ok());
  const auto raw = Database::Open(Path(), 100);
  ASSERT_TRUE(raw.ok());
  for (const std::string table :
       {"flush_runs", "flow_tests", "test_flushes", "test_flush_readings", "byproducts", "supplied_months"}) {
    for (const std::string& sql : {"UPDATE " + table + " SET id = id + 1", "DELETE FROM " + table,
                                   "INSERT OR REPLACE INTO " + table + " SELECT * FROM " + table}) {
      const Status done = (*raw)->Run(sql);
      ASSERT_FALSE(done.ok()) << sql;
      EXPECT_THAT(done.error().message, HasSubstr(table + " is append-only")) << sql;
    }
    EXPECT_EQ(**(*raw)->QueryInt("SELECT count(*) FROM " + table), 1) << table;
  }
}

TEST_F(ProjectFile, WhatIsNewOfReadsAndVisitsReadsBack) {
  Project project = WithPoint();
  MeterRead read{{}, Code(), *ParseDate("2026-07-03"), 545, Volume::Gallons(999000), "999000", "R. Ames"};
  read.is_estimate = true;
  read.new_meter_at = Volume::Gallons(120);
  read.id = *project.AddMeterRead(read);
  EXPECT_THAT(*project.MeterReads(), ElementsAre(read));
  Visit battery = AVisit("");
  battery.new_battery = true;
  Visit refill = AVisit("");
  refill.dechlorination_refilled = true;
  battery.id = *project.AddVisit(battery);
  refill.id = *project.AddVisit(refill);
  EXPECT_THAT(*project.VisitsOf(Code()), ElementsAre(battery, refill));
}

// A file as the sixth version wrote it.
void WriteVersion6(const std::string& path) {
  { const std::ofstream claim(path, std::ios::binary); }
  const auto raw = Database::Open(path, 1000);
  ASSERT_TRUE(raw.ok());
  const Status laid = (*raw)->InTransaction([&]() -> Status {
    if (const Status frame = WriteGeoPackageFrame(**raw); !frame.ok()) return frame;
    return Migrate(**raw, 6);
  });
  ASSERT_TRUE(laid.ok());
  const Status filled = (*raw)->RunScript(
      "INSERT INTO project VALUES (1, 'Alderbrook', 'America/Chicago', '2026-07-01T12:00:00.000Z');"
      "INSERT INTO flush_points (code, kind, place, supply_zone, controller, discharge, isolation_valve, "
      "meter, notes, drought_rank) VALUES ('FP-014', 'device', 'Heron Lane', 'North', '', 'road', '', '', "
      "'', "
      "2);"
      "INSERT INTO meter_reads (point, day, minute_of_day, total_m3, original, who) VALUES ('FP-014', "
      "'2026-07-03', 545, 12.5, '12.5', 'R. Ames');"
      "INSERT INTO visits (point, arrived, who, why, notes) VALUES ('FP-014', '2026-07-02T15:04:05.000Z', "
      "'R. Ames', 'rounds', 'lid stuck');");
  ASSERT_TRUE(filled.ok()) << filled.error().ToString();
}

TEST_F(ProjectFile, AFileOfTheSixthVersionKeepsItsRowsAndTakesTheNewRecords) {
  WriteVersion6(Path());
  auto project = Project::Open(Path());
  ASSERT_TRUE(project.ok()) << project.error().ToString();
  FlushPoint old;
  old.code = Code();
  old.kind = PointKind::kDevice;
  old.place = "Heron Lane";
  old.supply_zone = "North";
  old.discharge = DischargeTo::kRoad;
  old.drought_rank = 2;
  EXPECT_THAT(*project->FlushPoints(), ElementsAre(old));
  EXPECT_THAT(*project->MeterReads(),
              ElementsAre(MeterRead{MeterReadId{1}, Code(), *ParseDate("2026-07-03"), 545,
                                    Volume::CubicMetres(12.5), "12.5", "R. Ames"}));
  Visit visit = AVisit("lid stuck");
  visit.id = VisitId{1};
  EXPECT_THAT(*project->Visits(), ElementsAre(visit));
  EXPECT_THAT(*project->FlushRuns(), IsEmpty());
  ASSERT_TRUE(project->PutFlushPoint(FullPoint()).ok());
  EXPECT_THAT(*project->FlushPoints(), ElementsAre(FullPoint()));
  EXPECT_TRUE(project->AddFlushRun(FullRun()).ok());
  EXPECT_TRUE(project->AddFlowTest(FullTest()).ok());
  EXPECT_TRUE(project->AddTestFlush(FullFlush()).ok());
  EXPECT_TRUE(project->PutSuppliedMonth({2026, 7, Volume::CubicMetres(1)}).ok());
  EXPECT_EQ(*SchemaVersion(**Database::Open(Path(), 1000)), NewestSchemaVersion());
}

}  // namespace
}  // namespace lastreach
