// Each kind of sheet but devices and samples, which have fixtures of their own.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "import/sheet_import.h"

namespace lastreach {
namespace {

using testing::HasSubstr;

class OtherSheets : public SheetImport {};

TEST_F(OtherSheets, PointsAreFlushedByHand) {
  const ImportResult result = Import(TableKind::kPoints,
                                     "Code,Address,Length ft,Dia in,Services,Flow gpm,Lat,Long\nBO-1,Elm "
                                     "St,250,4,6,100,38.5,-94.25\nBO-2,Oak St,,,,,95,0\n");
  ASSERT_EQ(result.points.size(), 2U);
  EXPECT_EQ(result.points[0].kind, PointKind::kHand);
  EXPECT_EQ(result.points[0].position, (Position{-94.25, 38.5}));
  EXPECT_EQ(result.reaches.size(), 1U);
  EXPECT_TRUE(result.settings.empty());
  EXPECT_EQ(result.left_out.size(), 2U);  // a latitude of 95 degrees, and the longitude alone
}

TEST_F(OtherSheets, ReachesKeepTheirPipesInOrder) {
  const ImportResult result = Import(TableKind::kReaches,
                                     "Point,Length (ft),Dia (in),Material,Services,Upstream "
                                     "Cl2\nFP-001,1200,8,AC,11,1.1\nFP-002,300,6,PVC,2,\nFP-001,about "
                                     "400,6,,4,\nFP-009,1,6,,,\nFP-002,long,6,,,\nFP-002,300,,,,\n");
  ASSERT_EQ(result.reaches.size(), 2U);
  ASSERT_EQ(result.reaches[0].pipes.size(), 2U);
  EXPECT_EQ(result.reaches[0].pipes[0].services.value, 11);
  EXPECT_EQ(result.reaches[0].pipes[1].length.origin.kind, OriginKind::kEstimated);
  EXPECT_NEAR(result.reaches[0].upstream_residual->value.milligrams_per_litre(), 1.1, 1e-12);
  ASSERT_EQ(result.rejected.size(), 3U);
  EXPECT_EQ(result.rejected[0].reason, "the project has no such flush point");
  EXPECT_EQ(result.rejected[1].reason, "this is not a number");
  EXPECT_EQ(result.rejected[2].reason, "the diameter is missing");
  EXPECT_TRUE(result.left_out.empty());
}

TEST_F(OtherSheets, ServicesAddUpByPoint) {
  const ImportResult result =
      Import(TableKind::kServices, "Account,Avg demand gpd\nFP-001,200\nFP-001,150\nFP-002,300\nFP-003,1\n");
  ASSERT_EQ(result.services.size(), 2U);
  EXPECT_EQ(result.services[0].services.value, 2);
  EXPECT_NEAR(result.services[0].demand->value.gallons_per_day(), 350, 1e-9);
  EXPECT_EQ(result.services[1].services.value, 1);
  EXPECT_EQ(result.rejected.size(), 1U);
}

// As open data of laboratories has it: one measurement a row, whatever was measured.
TEST_F(OtherSheets, SamplesOfALaboratoryLeaveOutWhatIsNoResidual) {
  const ImportResult result = Import(
      TableKind::kSamples,
      "Sample_No,Date,Sample_Point,Suburb,Measure,Result,Units\n"
      "1,2026-07-01,FP-001,Hill,Chlorine Total,0.18,mg/L\n2,2026-07-01,FP-001,Hill,E. coli,0,Orgs/100mL\n"
      "3,2026-07-02,FP-002,Hill,Turbidity,0.2,NTU\n4,2026-07-02,FP-002,Hill,Chlorine Free,0.2,mg/L\n"
      "5,2026-07-03,FP-002,Hill,THM,0.05,mg/L\n");
  ASSERT_EQ(result.samples.size(), 2U);
  EXPECT_EQ(result.samples[0].analyte, Analyte::kTotalChlorine);
  EXPECT_EQ(result.samples[1].analyte, Analyte::kFreeChlorine);
  ASSERT_EQ(result.rejected.size(), 3U);
  EXPECT_EQ(result.rejected[0].column, "Measure");
  EXPECT_EQ(result.rejected[0].value, "E. coli");
}

// SOURCE: factors of the units test; the dial shows what is written times the factor.
TEST_F(OtherSheets, MeterReadsComeInAnyUnitAndKeepWhatWasWritten) {
  const ImportResult result =
      Import(TableKind::kReads,
             "Site,Date,Reading,Unit\nFP-001,2026-07-01,\"12,345\",kgal\nFP-001,2026-07-02,123460,x100 "
             "gal\nFP-001,2026-07-03,500 m3,\nFP-001,2026-07-04,7,CCF\nFP-001,2026-07-05,9,imp gal\n"
             "FP-001,2026-07-05,9,imp "
             "gal\nFP-001,2026-07-06,9,barrels\nFP-001,2026-07-07,9,\nFP-001,2026-07-08,-5,gal\nFP-001,2026-"
             "07-09,stuck,gal\nFP-001,2026-07-10,,gal\n");
  ASSERT_EQ(result.reads.size(), 5U);
  EXPECT_NEAR(result.reads[0].total.gallons(), 12345e3, 1e-3);
  EXPECT_EQ(result.reads[0].original, "12,345 1000 gal");
  EXPECT_NEAR(result.reads[1].total.gallons(), 12346e3, 1e-3);
  EXPECT_NEAR(result.reads[2].total.cubic_metres(), 500, 1e-9);
  EXPECT_EQ(result.reads[2].original, "500 m3");
  EXPECT_NEAR(result.reads[3].total.cubic_feet(), 700, 1e-9);
  EXPECT_NEAR(result.reads[4].total.imperial_gallons(), 9, 1e-9);
  ASSERT_EQ(result.rejected.size(), 6U);
  EXPECT_EQ(result.rejected[0].reason, "this reading is in line 6 already");
  EXPECT_THAT(result.rejected[1].reason, HasSubstr("'barrels' is no unit"));
  EXPECT_EQ(result.rejected[2].reason, "the reading has no unit");
  EXPECT_EQ(result.rejected[3].reason, "a meter does not show negative numbers");
  EXPECT_EQ(result.rejected[4].reason, "this is not a number");
  EXPECT_EQ(result.rejected[5].reason, "there is no meter reading in this row");
}

TEST_F(OtherSheets, ControllerFormsTakeDontKnowForAnAnswer) {
  const ImportResult result =
      Import(TableKind::kControllers,
             "Controller,Programs,Starts per program,Minutes min,Minutes max,Percent min,Percent max,Day "
             "patterns,DST,Overlap\n"
             "three-button,3,4,1,6 h,10 %,200 %,\"weekdays, odd/even, interval\",no,don't know\ngrey "
             "box,?,,,,,,,,waits its turn\n"
             "bad box,3,4,60,1,,,,,\nodd box,3,4,,,,,,perhaps,explodes\nthree-button,,,,,,,,,\n");
  ASSERT_EQ(result.forms.size(), 3U);
  const ControllerForm& form = result.forms[0];
  EXPECT_EQ(form.programmes, 3);
  EXPECT_EQ(form.minutes_max, 360);
  EXPECT_EQ(form.percent_max, 200);
  EXPECT_EQ(form.day_patterns->size(), 4U);
  EXPECT_EQ(form.follows_clock_change, false);
  EXPECT_EQ(form.overlap, Overlap::kUnknown);
  EXPECT_EQ(result.forms[1].overlap, Overlap::kQueue);
  EXPECT_FALSE(result.forms[1].programmes.has_value());
  ASSERT_EQ(result.rejected.size(), 2U);
  EXPECT_EQ(result.rejected[0].column, "Minutes min");
  EXPECT_EQ(result.rejected[1].reason, "the form is in line 2 already");
  EXPECT_EQ(result.left_out.size(), 2U);
}

TEST_F(OtherSheets, LimitsNeedASourceAndAUnit) {
  const ImportResult result = Import(
      TableKind::kLimits,
      "Applies to,Subject,Limit,Value,Unit,From,To,Days,Source\n"
      "point,fp 1,forbidden hours,,,7:15 am,9:00 am,M-F,\"head teacher, by phone\"\n"
      ",North,most flow,2.5,L/s,,,,tank level\n,,least residual,0.4,,,,,state rule\n"
      "system,,most volume a run,5000,gal,,,,permit 12\nsystem,,most volume a day,20 m3,,,,,permit 12\n"
      "system,,most flow,100 gpm,,,,,\nsystem,,most flow,100,,,,,permit\nsystem,,most "
      "fun,1,,,,,me\npoint,FP-9,most flow,1 gpm,,,,,me\n"
      "point,FP-001,forbidden hours,,,7:15,,,me\n,North,most flow,2.5,L/s,,,,tank level\n");
  ASSERT_EQ(result.limits.size(), 5U);
  EXPECT_EQ(result.limits[0].scope, LimitScope::kPoint);
  EXPECT_EQ(result.limits[0].subject, "FP-001");
  EXPECT_EQ(result.limits[0].rule, LimitRule(ForbiddenHours{435, 540, {0x1F}}));
  EXPECT_EQ(result.limits[1].scope, LimitScope::kZone);
  EXPECT_EQ(result.limits[2].scope, LimitScope::kSystem);
  EXPECT_EQ(result.limits[2].rule, LimitRule(LeastResidual{Concentration::MilligramsPerLitre(0.4)}));
  EXPECT_NEAR(std::get<MostVolumeARun>(result.limits[3].rule).volume.gallons(), 5000, 1e-9);
  EXPECT_NEAR(std::get<MostVolumeADay>(result.limits[4].rule).volume.cubic_metres(), 20, 1e-12);
  ASSERT_EQ(result.rejected.size(), 6U);
  EXPECT_THAT(result.rejected[0].reason, HasSubstr("needs its source"));
  EXPECT_THAT(result.rejected[1].reason, HasSubstr("a unit is wanted"));
  EXPECT_THAT(result.rejected[2].reason, HasSubstr("a limit is forbidden hours"));
  EXPECT_THAT(result.rejected[3].reason, HasSubstr("no such flush point"));
  EXPECT_THAT(result.rejected[4].reason, HasSubstr("a time to begin and one to end"));
  EXPECT_THAT(result.rejected[5].reason, HasSubstr("in line 3 already"));
}

TEST_F(OtherSheets, ZonesTakeWhatIsKnown) {
  const ImportResult result = Import(
      TableKind::kZones,
      "Zone,Disinfectant,Target mg/L,Upstream mg/L,Bulk decay,Wall decay,Worst week,Use per service gpd\n"
      "North,free,0.4,~1.1,0.5,0.1,77 F,200\nSouth,chloramine,,,,,,\nNorth,free,,,,,,\n");
  ASSERT_EQ(result.zones.size(), 2U);
  const SupplyZone& north = result.zones[0];
  EXPECT_NEAR(north.target_residual->value.milligrams_per_litre(), 0.4, 1e-12);
  EXPECT_EQ(north.upstream_residual->origin.kind, OriginKind::kEstimated);
  EXPECT_NEAR(north.worst_week->value.celsius(), 25, 1e-9);
  EXPECT_NEAR(north.demand_per_service->value.gallons_per_day(), 200, 1e-9);
  EXPECT_EQ(north.bulk_per_day_at_20c->value, 0.5);
  EXPECT_EQ(result.zones[1].disinfectant, Disinfectant::kChloramine);
  EXPECT_FALSE(result.zones[1].target_residual.has_value());
  EXPECT_EQ(result.rejected.size(), 1U);
}

TEST_F(OtherSheets, ADeviceMayHaveAColumnForEachStart) {
  const ImportResult result =
      Import(TableKind::kDevices,
             "Flusher,Start 1,Start 2,Start 3,Run time,Days,Prog B start 1,Prog B start 2,Prog B mins\n"
             "FP-001,1:10 AM,1:10 PM,,30,MWF,,4:00,10\nFP-002,,,,,,,,\n");
  ASSERT_EQ(result.settings.size(), 1U);
  const std::vector<Programme>& programmes = result.settings[0].settings.programmes;
  ASSERT_EQ(programmes.size(), 2U);
  EXPECT_EQ(programmes[0].starts_min, (std::vector<int>{70, 790}));
  EXPECT_EQ(programmes[0].minutes, 30);
  EXPECT_EQ(programmes[1].starts_min, std::vector<int>{240});
  EXPECT_EQ(result.points.size(), 2U);
}

TEST_F(OtherSheets, SettingsSayWhichKindTheyAre) {
  const ImportResult result = Import(
      TableKind::kSettings,
      "Device,Record,Date,Time,Start times,Minutes,Days,Percent,Why,Revert by,By\n"
      "FP-001,as left,2026-07-02,9:00 am,1:10 AM,30,MWF,130,summer,2026-09-30,J. Cole\nFP-001,as "
      "found,2026-07-02,8:50 am,1:10 AM,30,daily,100,,,\n"
      "FP-001,rumour,2026-07-02,,1:10 "
      "AM,30,daily,,,,\nFP-001,planned,2026-07-02,,25:10,30,daily,,,,\nFP-001,planned,2026-07-02,,,,,,,,\n");
  ASSERT_EQ(result.settings.size(), 2U);
  EXPECT_EQ(result.settings[0].kind, SettingsKind::kAsLeft);
  EXPECT_EQ(result.settings[0].recorded, *ParseRfc3339("2026-07-02T09:00:00-05:00"));
  EXPECT_EQ(result.settings[0].revert_by, *ParseDate("2026-09-30"));
  EXPECT_EQ(result.settings[0].who, "J. Cole");
  EXPECT_EQ(result.settings[0].settings.percent, 130);
  EXPECT_EQ(result.settings[1].kind, SettingsKind::kAsFound);
  EXPECT_EQ(result.settings[1].who, "R. Ames");
  ASSERT_EQ(result.rejected.size(), 3U);
  EXPECT_THAT(result.rejected[0].reason, HasSubstr("planned, as-left or as-found"));
  EXPECT_EQ(result.rejected[1].value, "25:10");
  EXPECT_EQ(result.rejected[2].reason, "there are no settings in this row");
}

}  // namespace
}  // namespace lastreach
