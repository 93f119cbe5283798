// Sheets of runs, flow tests, test flushes, visits, by-products and water supplied, as dirty as people write
// them; and what is new in sheets of reads, samples and devices.
#include <gmock/gmock.h>

#include <map>

#include "import/month_words.h"
#include "import/reading.h"
#include "import/sheet_import.h"

namespace lastreach {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

class RecordSheets : public SheetImport {
 protected:
  static std::map<int, std::string> ReasonsOf(const std::vector<RejectedRow>& rows) {
    std::map<int, std::string> reasons;
    for (const RejectedRow& row : rows) reasons[row.line] = row.column + ": " + row.reason;
    return reasons;
  }
  static Instant At(const char* text) { return *ParseRfc3339(text); }
};

// Chicago is five hours behind in summer.
TEST_F(RecordSheets, AFlushLogOfManyHandsComesIn) {
  const ImportResult result = Import(TableKind::kRuns,
                                     "Hydrant flushing log 2026\n"
                                     "Site,Date,Start,Stop,Min,Gallons,Method,Crew,Reason\n"
                                     "fp 1,2026-07-03,9:05 am,9:27 am,,1350,drum,R. Ames,complaint\n"
                                     "FP-002,3 Jul 26,,,\"1 h 15\",\"4,500\",est.,,monthly\n"
                                     "FP-002,2026-07-04,23:50,00:20,,,,JB,\n"
                                     "FP-002,2026-07-05,08:00,2026-07-07 09:30,,UNK,,JB,main break\n"
                                     "FP-001,2026-07-06,08:00,08:30,20,0,sundial,,\n");
  EXPECT_THAT(result.rejected, IsEmpty());
  ASSERT_EQ(result.flush_runs.size(), 5U);
  const FlushRun& first = result.flush_runs[0];
  EXPECT_EQ(first.point.text(), "FP-001");
  EXPECT_EQ(first.begun, At("2026-07-03T14:05:00Z"));
  EXPECT_EQ(first.lasted.minutes(), 22);
  EXPECT_NEAR(first.volume->gallons(), 1350, 1e-9);
  EXPECT_EQ(first.by, MeasuredBy::kDrum);
  EXPECT_EQ(first.why, "complaint");
  EXPECT_EQ(result.flush_runs[1].begun, At("2026-07-03T17:00:00Z"));  // noon, with a note
  EXPECT_EQ(result.flush_runs[1].lasted.minutes(), 75);
  EXPECT_EQ(result.flush_runs[1].who, "R. Ames");
  EXPECT_EQ(result.flush_runs[2].lasted.minutes(), 30);  // over midnight
  EXPECT_FALSE(result.flush_runs[2].volume.has_value());
  EXPECT_EQ(result.flush_runs[3].lasted.hours(), 49.5);  // days later
  EXPECT_EQ(result.flush_runs[4].lasted.minutes(), 20);  // as written, not from the clocks
  EXPECT_THAT(result.notes, Contains(HasSubstr("line 7: start and end are 30 min apart; the 20 min")));
  EXPECT_THAT(result.notes, Contains(HasSubstr("line 4: the time of day is not known; taken as noon")));
  const auto left_out = ReasonsOf(result.left_out);
  EXPECT_THAT(left_out.at(7), HasSubstr("Method: how it was measured"));
  EXPECT_EQ(result.left_out.size(), 2U);  // 0 gallons too
}

TEST_F(RecordSheets, RunsThatCannotBeAreRejectedWithTheirReason) {
  const ImportResult result = Import(TableKind::kRuns,
                                     "Point,Date,Start,End,Minutes\n"
                                     "FP-009,2026-07-03,9:00,,20\n"
                                     "FP-001,2026-12-03,9:00,,20\n"
                                     "FP-001,2026-07-03,9:00,,\n"
                                     "FP-001,2026-07-03,9:00,,0\n"
                                     "FP-001,2026-07-03,,9:30,\n"
                                     "FP-001,2026-07-03,9:00,9:00,\n"
                                     "FP-001,2026-03-08,02:30,,20\n"
                                     "Total,,,,95\n"
                                     "FP-001,2026-07-03,10:00,,20\n"
                                     "FP-001,2026-07-03,10:00,10:20,\n");
  const std::map<int, std::string> reasons = {{2, "no such flush point"},
                                              {3, "in the future"},
                                              {4, "how long it ran is wanted"},
                                              {5, "how long it ran is wanted"},
                                              {6, "how long it ran is wanted"},
                                              {7, "how long it ran is wanted"},
                                              {8, "clocks never showed that time"},
                                              {9, "sums up the others"},
                                              {11, "this run is in line 10 already"}};
  const auto found = ReasonsOf(result.rejected);
  ASSERT_EQ(found.size(), reasons.size());
  for (const auto& [line, reason] : reasons) EXPECT_THAT(found.at(line), HasSubstr(reason));
  EXPECT_EQ(result.rows_in, 1);
}

TEST_F(RecordSheets, TheMeterBeforeAndAfterGoesBeforeTheVolumeWritten) {
  context_.known_points[1].meter_turns_over_at = Volume::Gallons(1e6);
  const ImportResult result = Import(TableKind::kRuns,
                                     "Point,Date,Minutes,Volume (gal),Meter before (x100 gal),Meter after\n"
                                     "FP-001,2026-07-03,20,1200,50310,50323\n"
                                     "FP-001,2026-07-04,20,1500,50323,50338\n"
                                     "FP-001,2026-07-05,20,,50338,50300\n"
                                     "FP-002,2026-07-05,20,,9990,5\n"
                                     "FP-002,2026-07-06,20,,12,\n");
  ASSERT_EQ(result.flush_runs.size(), 5U);
  EXPECT_NEAR(result.flush_runs[0].volume->gallons(), 1300, 1e-6);
  EXPECT_EQ(result.flush_runs[0].by, MeasuredBy::kMeter);
  EXPECT_THAT(result.notes, Contains(HasSubstr("line 2: the volume written is not what the meter says")));
  EXPECT_FALSE(result.flush_runs[2].volume.has_value());
  EXPECT_THAT(ReasonsOf(result.left_out).at(4), HasSubstr("less after the run than before"));
  EXPECT_NEAR(result.flush_runs[3].volume->gallons(), 1500, 1e-6);  // 999,000 to 1,000,500
  EXPECT_THAT(result.notes, Contains(HasSubstr("line 5: the dial turned over")));
  EXPECT_FALSE(result.flush_runs[4].volume.has_value());
  EXPECT_EQ(result.flush_runs[4].by, MeasuredBy::kEstimate);
}

TEST_F(RecordSheets, FlowTestsComeInWithTheirMethodAndAccuracy) {
  const ImportResult result = Import(TableKind::kFlowTests,
                                     "Device,Date,Time,Flow rate,How measured,Accuracy,Comments\n"
                                     "FP-001,2026-07-03,9:05,61,drum and stopwatch,10 %,55 gal in 54 s\n"
                                     "FP-001,2026-07-04,,~60 gpm,,0.2,\n"
                                     "FP-002,2026-07-04,,3.2 L/s,pitot gauge,+/- 5,\n"
                                     "FP-002,2026-07-05,,40,meter,very,\n"
                                     "FP-002,2026-07-06,,0,meter,,\n"
                                     "FP-002,2026-07-07,,,meter,,\n"
                                     "FP-002,2026-07-05,,40,meter,,\n");
  ASSERT_EQ(result.flow_tests.size(), 4U);
  EXPECT_NEAR(result.flow_tests[0].flow.gallons_per_minute(), 61, 1e-9);
  EXPECT_EQ(result.flow_tests[0].minute_of_day, 545);
  EXPECT_EQ(result.flow_tests[0].by, MeasuredBy::kDrum);
  EXPECT_EQ(result.flow_tests[0].accuracy, 0.1);
  EXPECT_EQ(result.flow_tests[0].notes, "55 gal in 54 s");
  EXPECT_EQ(result.flow_tests[1].by, MeasuredBy::kEstimate);
  EXPECT_EQ(result.flow_tests[1].accuracy, 0.2);
  EXPECT_NEAR(result.flow_tests[2].flow.litres_per_second(), 3.2, 1e-12);
  EXPECT_EQ(result.flow_tests[2].by, MeasuredBy::kPitot);
  EXPECT_EQ(result.flow_tests[2].accuracy, 0.05);
  EXPECT_THAT(ReasonsOf(result.left_out).at(5), HasSubstr("Accuracy: a percentage"));
  const auto rejected = ReasonsOf(result.rejected);
  EXPECT_THAT(rejected.at(6), HasSubstr("0 is taken as not known"));
  EXPECT_THAT(rejected.at(7), HasSubstr("no flow in this row"));
  EXPECT_THAT(rejected.at(8), HasSubstr("this test is in line 5 already"));
}

TEST_F(RecordSheets, RowsOfOnePointAndDayMakeOneTestFlushInOrderOfTime) {
  const ImportResult result =
      Import(TableKind::kTestFlushes,
             "Site,Date,Opened,Minutes,Free Cl2,Upstream Cl2,Temp F,NTU,Flow gpm,Pressure psi,By,Notes\n"
             "FP-001,2026-07-03,9:00 am,10,0.55,0.9,77,,,,RA,\n"
             "FP-001,2026-07-03,,0,<0.05,,79,12,,,RA,brown\n"
             "FP-001,2026-07-03,,2.5,0.2,0.7,,,,,,\n"
             "FP-002,2026-07-03,,30 s,ND,,,,40,38,JB,\n"
             "FP-001,2026-07-10,9:00,0,0.3,,,,,,RA,\n");
  EXPECT_THAT(result.rejected, IsEmpty());
  ASSERT_EQ(result.test_flushes.size(), 3U);
  const TestFlush& first = result.test_flushes[0];
  EXPECT_EQ(first.begun, At("2026-07-03T14:00:00Z"));
  EXPECT_EQ(first.analyte, Analyte::kFreeChlorine);
  EXPECT_EQ(first.upstream, Concentration::MilligramsPerLitre(0.9));
  EXPECT_THAT(ReasonsOf(result.left_out).at(4), HasSubstr("Upstream Cl2: a row of this flush before"));
  ASSERT_EQ(first.readings.size(), 3U);
  EXPECT_EQ(first.readings[0].after, Duration());
  EXPECT_TRUE(first.readings[0].below_detection);
  EXPECT_EQ(first.readings[0].turbidity_ntu, 12);
  EXPECT_NEAR(first.readings[0].temperature->fahrenheit(), 79, 1e-9);
  EXPECT_EQ(first.readings[1].after.minutes(), 2.5);
  EXPECT_EQ(first.readings[2].residual, Concentration::MilligramsPerLitre(0.55));
  EXPECT_EQ(first.notes, "brown");
  EXPECT_EQ(first.who, "RA");
  EXPECT_EQ(result.test_flushes[1].begun, At("2026-07-10T14:00:00Z"));
  const TestFlush& second = result.test_flushes[2];
  EXPECT_EQ(second.begun, At("2026-07-03T17:00:00Z"));
  EXPECT_EQ(second.readings[0].after.seconds(), 30);
  EXPECT_NEAR(second.readings[0].flow->gallons_per_minute(), 40, 1e-9);
  EXPECT_NEAR(second.readings[0].pressure->pounds_per_square_inch(), 38, 1e-9);
  EXPECT_THAT(result.notes, Contains(HasSubstr("FP-002 on 2026-07-03: the time of opening is not known")));
}

TEST_F(RecordSheets, TimesOfDayAreTakenFromTheOpeningOrTheFirstOfThem) {
  const ImportResult result = Import(TableKind::kTestFlushes,
                                     "Site,Date,Time,Opened,Total Cl2,Free Cl2\n"
                                     "FP-001,2026-07-03,9:10,,0.5,0.1\n"
                                     "FP-001,2026-07-03,9:00,,0.2,\n"
                                     "FP-001,2026-07-03,9:00,,0.4,\n"
                                     "FP-002,2026-07-03,23:55,23:50,0.5,\n"
                                     "FP-002,2026-07-03,0:10,,0.7,\n"
                                     "FP-002,2026-07-03,23:45,,0.6,\n"
                                     "FP-002,2026-07-03,,,0.6,\n"
                                     "FP-002,2026-07-03,0:20,,,\n");
  ASSERT_EQ(result.test_flushes.size(), 2U);
  const TestFlush& first = result.test_flushes[0];
  EXPECT_EQ(first.begun, At("2026-07-03T14:00:00Z"));
  EXPECT_EQ(first.analyte, Analyte::kTotalChlorine);  // as most of its readings
  EXPECT_THAT(ReasonsOf(result.left_out).at(2), HasSubstr("Free Cl2: this flush is of total chlorine"));
  ASSERT_EQ(first.readings.size(), 2U);
  EXPECT_EQ(first.readings[1].residual, Concentration::MilligramsPerLitre(0.5));
  EXPECT_EQ(first.readings[1].after.minutes(), 10);
  const TestFlush& second = result.test_flushes[1];
  ASSERT_EQ(second.readings.size(), 2U);
  EXPECT_EQ(second.readings[1].after.minutes(), 20);  // over midnight
  const auto rejected = ReasonsOf(result.rejected);
  EXPECT_THAT(rejected.at(4), HasSubstr("a reading of this time is in line 3 already"));
  EXPECT_THAT(rejected.at(7), HasSubstr("before the opening at 23:50"));
  EXPECT_THAT(rejected.at(8), HasSubstr("minutes after opening, or a time"));
  EXPECT_THAT(rejected.at(9), HasSubstr("nothing was read"));
  EXPECT_EQ(result.rows_in, 4);
}

TEST_F(RecordSheets, VisitsComeInWithWhatWasDone) {
  const ImportResult result = Import(TableKind::kVisits,
                                     "Device,Date,Time,Tech,Reason,Battery,Tablets,Notes\n"
                                     "FP-001,2026-07-03,9:05 am,RA,rounds,new,refilled,lid stuck\n"
                                     "FP-002,2026-07-03,,,,OK,N,\n"
                                     "FP-002,2026-07-04,10:00,,rounds,perhaps,,\n"
                                     "FP-001,2026-07-03,09:05,RA,rounds,,,again\n");
  ASSERT_EQ(result.visits.size(), 3U);
  EXPECT_EQ(
      result.visits[0],
      (Visit{{}, PointCode("FP-001"), At("2026-07-03T14:05:00Z"), "RA", "rounds", "lid stuck", true, true}));
  EXPECT_FALSE(result.visits[1].new_battery);
  EXPECT_FALSE(result.visits[1].dechlorination_refilled);
  EXPECT_EQ(result.visits[1].arrived, At("2026-07-03T17:00:00Z"));
  EXPECT_THAT(ReasonsOf(result.left_out).at(4), HasSubstr("Battery: whether it was done"));
  EXPECT_THAT(ReasonsOf(result.rejected).at(5), HasSubstr("this visit is in line 2 already"));
}

TEST_F(RecordSheets, AClockIsKeptWithTheSettingsThatStoodThere) {
  SettingsRecord left;
  left.id = SettingsId{7};
  left.point = PointCode("FP-001");
  left.kind = SettingsKind::kAsLeft;
  left.settings.percent = 130;
  left.recorded = At("2026-06-01T12:00:00Z");
  SettingsRecord later = left;
  later.settings.percent = 90;
  later.recorded = At("2026-07-20T12:00:00Z");
  context_.stood = {left, later};
  const ImportResult result = Import(TableKind::kVisits,
                                     "Device,Date,Clock\n"
                                     "FP-001,2026-07-03,12 min fast\n"
                                     "FP-002,2026-07-03,5 slow\n"
                                     "FP-001,2026-05-03,5 slow\n"
                                     "FP-001,2026-07-04,wrong\n");
  EXPECT_EQ(result.rows_in, 4);
  ASSERT_EQ(result.settings.size(), 1U);
  EXPECT_EQ(result.settings[0].kind, SettingsKind::kAsFound);
  EXPECT_EQ(result.settings[0].settings.percent, 130);
  EXPECT_EQ(result.settings[0].clock_fast_minutes, 12);
  EXPECT_EQ(result.settings[0].recorded, At("2026-07-03T17:00:00Z"));
  EXPECT_EQ(result.settings[0].id, SettingsId{});
  const auto left_out = ReasonsOf(result.left_out);
  EXPECT_THAT(left_out.at(3), HasSubstr("no settings of this timer are known"));
  EXPECT_THAT(left_out.at(4), HasSubstr("no settings of this timer are known"));
  EXPECT_EQ(left_out.count(5), 1U);
}

TEST_F(RecordSheets, ByproductsComeInByColumnsOrByRowsInEitherUnit) {
  const ImportResult wide = Import(TableKind::kByproducts,
                                   "Sample site,Date collected,TTHM,HAA5\n"
                                   "Mill St tap,2026-05-12,61.2,<6.0\n"
                                   "School,12 May 2026,0.0484 mg/L,ND\n"
                                   "School,2026-05-12,40,22\n"
                                   "Average,,50,\n"
                                   "School,2026-02-12,1800,\n"
                                   "School,2026-02-13,-1,30\n"
                                   ",2026-02-13,1,30\n"
                                   "School,2026-12-13,1,30\n"
                                   "School,2026-02-14,,\n");
  ASSERT_EQ(wide.byproducts.size(), 5U);
  EXPECT_NEAR(wide.byproducts[0].value.micrograms_per_litre(), 61.2, 1e-9);
  EXPECT_EQ(wide.byproducts[0].original, "61.2 ug/L");
  EXPECT_TRUE(wide.byproducts[1].below_detection);
  EXPECT_NEAR(wide.byproducts[1].value.micrograms_per_litre(), 6, 1e-9);
  EXPECT_NEAR(wide.byproducts[2].value.micrograms_per_litre(), 48.4, 1e-9);
  EXPECT_EQ(wide.byproducts[3].value, context_.byproduct_detection_limit);
  EXPECT_EQ(wide.byproducts[4].byproduct, Byproduct::kHaloaceticAcids5);
  const auto rejected = ReasonsOf(wide.rejected);
  EXPECT_THAT(rejected.at(4), HasSubstr("this result is in line 3 already"));
  EXPECT_THAT(rejected.at(5), HasSubstr("sums up"));
  EXPECT_THAT(rejected.at(6), HasSubstr("above 1 mg/L"));
  EXPECT_THAT(rejected.at(8), HasSubstr("site is missing"));
  EXPECT_THAT(rejected.at(9), HasSubstr("in the future"));
  EXPECT_THAT(rejected.at(10), HasSubstr("no result"));
  const ImportResult tall = Import(TableKind::kByproducts,
                                   "Location,Date,Analyte,Result\n"
                                   "School,2026-05-12,Total THMs,0.061\nSchool,2026-05-12,HAA5,0.020\n"
                                   "School,2026-05-12,Lead,0.001\n");
  ASSERT_EQ(tall.byproducts.size(), 2U);
  EXPECT_NEAR(tall.byproducts[0].value.micrograms_per_litre(), 61, 1e-9);
  EXPECT_THAT(ReasonsOf(tall.rejected).at(4), HasSubstr("TTHM or HAA5 is wanted"));
}

TEST_F(RecordSheets, WhatWasSuppliedComesInByMonthOfAnySpelling) {
  const ImportResult result = Import(TableKind::kProduction,
                                     "Month,Water produced (MG)\n"
                                     "Jan 2026,28.4\n2026-02,27.1\n3/2026,30\n2026-04-30,29.5\nMay-26,31\n"
                                     "July 2026,0\nDec 2026,30\nJuly,30\nTotal,146\n2026-02,27.2\n");
  ASSERT_EQ(result.supplied.size(), 5U);
  for (int i = 0; i < 5; ++i) {
    EXPECT_EQ(result.supplied[static_cast<size_t>(i)].year, 2026);
    EXPECT_EQ(result.supplied[static_cast<size_t>(i)].month, i + 1);
  }
  EXPECT_NEAR(result.supplied[0].supplied.gallons(), 28.4e6, 1e-3);
  const auto rejected = ReasonsOf(result.rejected);
  EXPECT_THAT(rejected.at(7), HasSubstr("not known"));
  EXPECT_THAT(rejected.at(8), HasSubstr("in the future"));
  EXPECT_THAT(rejected.at(9), HasSubstr("a month of a year"));
  EXPECT_THAT(rejected.at(10), HasSubstr("sums up"));
  EXPECT_THAT(rejected.at(11), HasSubstr("in line 3 already"));
  const ImportResult years =
      Import(TableKind::kProduction, "Mo,Yr,Volume (m3)\n7,2025,99000\nAug,25,98000\n");
  ASSERT_EQ(years.supplied.size(), 2U);
  EXPECT_EQ(years.supplied[1], (SuppliedMonth{2025, 8, Volume::CubicMetres(98000)}));
}

TEST_F(RecordSheets, ReadsSayWhichAreEstimatedAndWhereTheMeterWasChanged) {
  const ImportResult result = Import(TableKind::kReads,
                                     "Device,Date,Read (gal),Read type,New meter\n"
                                     "FP-001,2026-05-01,1000,A,\n"
                                     "FP-001,2026-06-01,2000,Est,\n"
                                     "FP-001,2026-07-01,3000 E,,\n"
                                     "FP-001,2026-07-02,about 3100,,\n"
                                     "FP-001,2026-07-03,3200,actual,120\n"
                                     "FP-001,2026-07-04,32 x100 gal,,yes\n"
                                     "FP-001,2026-07-05,40 apples,,\n");
  ASSERT_EQ(result.reads.size(), 6U);
  const std::vector<bool> estimated = {false, true, true, true, false, false};
  for (size_t i = 0; i < estimated.size(); ++i) EXPECT_EQ(result.reads[i].is_estimate, estimated[i]) << i;
  EXPECT_NEAR(result.reads[2].total.gallons(), 3000, 1e-9);
  EXPECT_NEAR(result.reads[4].new_meter_at->gallons(), 120, 1e-9);
  EXPECT_NEAR(result.reads[5].total.gallons(), 3200, 1e-9);
  EXPECT_THAT(ReasonsOf(result.left_out).at(7), HasSubstr("New meter"));
  EXPECT_THAT(ReasonsOf(result.rejected).at(8), HasSubstr("'apples' is no unit"));
}

TEST_F(RecordSheets, AmmoniaAndNitriteComeInAsNitrogenAndAreNoResiduals) {
  const ImportResult result = Import(TableKind::kSamples,
                                     "Site,Date,Total Cl2,Free ammonia (mg/L as N),Nitrite as NO2\n"
                                     "FP-001,2026-07-03,1.8,0.15,0.10\n"
                                     "FP-001,2026-07-04,,<0.02,\n");
  ASSERT_EQ(result.samples.size(), 4U);
  EXPECT_EQ(result.samples[0].analyte, Analyte::kTotalChlorine);
  EXPECT_EQ(result.samples[1].analyte, Analyte::kFreeAmmonia);
  EXPECT_EQ(result.samples[1].original, "0.15 mg/L");
  EXPECT_EQ(result.samples[2].analyte, Analyte::kNitrite);
  EXPECT_NEAR(result.samples[2].residual.milligrams_per_litre(), 0.0304, 5e-5);  // 14.007 / 46.005
  EXPECT_TRUE(result.samples[3].below_detection);
  EXPECT_FALSE(IsResidual(result.samples[3].analyte));
}

TEST_F(RecordSheets, ADeviceSaysWhereItsDialTurnsAndWhatItsFeederHolds) {
  const ImportResult result = Import(TableKind::kDevices,
                                     "Code,Turns over at (gal),Dial digits,Dechlorination,Charge (lb)\n"
                                     "A1,1000000,,sodium sulfite tablets,10\n"
                                     "A2,,6 x100 gal,none,\n"
                                     "A3,,6,,\n");
  ASSERT_EQ(result.points.size(), 3U);
  EXPECT_NEAR(result.points[0].meter_turns_over_at->gallons(), 1e6, 1e-6);
  EXPECT_EQ(result.points[0].dechlorination, "sodium sulfite tablets");
  EXPECT_NEAR(*result.points[0].dechlorination_holds_kg, 4.5359237, 1e-9);
  EXPECT_NEAR(result.points[1].meter_turns_over_at->gallons(), 1e8, 1e-3);
  EXPECT_FALSE(result.points[2].meter_turns_over_at.has_value());
  EXPECT_THAT(ReasonsOf(result.left_out).at(4), HasSubstr("Dial digits: how many digits"));
}

TEST(MonthWords, AMonthOfAYearIsReadInAnySpelling) {
  for (const char* text : {"Jul 2026", "July-26", "2026-07", "7/2026", "202607", "07 2026", "2026-07-31",
                           "31 July 2026", "2026 Jul", "7/31/2026"})
    EXPECT_EQ(*ParseYearMonth(text), std::pair(2026, 7)) << text;
  for (const char* text : {"", "July", "13/2026", "7", "2026", "03/04/2026", "Jul 1926", "soon"})
    EXPECT_FALSE(ParseYearMonth(text).ok()) << text;
}

TEST(WordsForKinds, AreAllUnderstoodAsKinds) {
  for (const std::string& word : WordsForKinds()) {
    EXPECT_EQ(word.find(' '), std::string::npos);
    EXPECT_TRUE(ParseTableKind(word).ok()) << word;
  }
  EXPECT_EQ(*ParseTableKind("test-flushes"), TableKind::kTestFlushes);
  EXPECT_EQ(*ParseTableKind("flow tests"), TableKind::kFlowTests);
}

}  // namespace
}  // namespace lastreach
