#include "store/project.h"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>

#include "store/project_fixture.h"

namespace lastreach {
namespace {

namespace fs = std::filesystem;

TEST_F(ProjectFile, KeepsItsNameAndZone) {
  const Project project = New();
  EXPECT_EQ(*project.Info(), (ProjectInfo{"Alderbrook", "America/Chicago", At("2026-07-01T12:00:00Z")}));
}

TEST_F(ProjectFile, IsNeverMadeOverAFileThatIsThere) {
  std::ofstream(Path()) << "mine";
  const auto project = Project::Create(Path());
  ASSERT_FALSE(project.ok());
  EXPECT_EQ(project.error().code, ErrorCode::kConflict);
  EXPECT_EQ(fs::file_size(Path()), 4U);
}

TEST_F(ProjectFile, IsNotMadeForAZoneNobodyKnows) {
  EXPECT_FALSE(Project::Create(Path(), {"x", "America/Nowhere", {}}).ok());
  EXPECT_FALSE(fs::exists(Path()));
}

TEST_F(ProjectFile, AFlushPointReadsBackWithAndWithoutEveryOptionalPart) {
  Project project = New();
  FlushPoint bare;
  bare.code = PointCode("BO-2");
  ASSERT_TRUE(project.PutFlushPoint(FullPoint()).ok());
  ASSERT_TRUE(project.PutFlushPoint(bare).ok());
  EXPECT_EQ(*project.FlushPoints(), (std::vector<FlushPoint>{bare, FullPoint()}));
  EXPECT_EQ(*project.FindFlushPoint(PointCode("FP-014")), FullPoint());
  EXPECT_EQ(project.FindFlushPoint(PointCode("FP-14")).error().code, ErrorCode::kNotFound);
}

TEST_F(ProjectFile, PuttingAPointAgainChangesIt) {
  Project project = New();
  ASSERT_TRUE(project.PutFlushPoint(FullPoint()).ok());
  FlushPoint changed = FullPoint();
  changed.place = "Heron Lane 14";
  changed.flow.reset();
  ASSERT_TRUE(project.PutFlushPoint(changed).ok());
  EXPECT_EQ(*project.FlushPoints(), std::vector<FlushPoint>{changed});
}

Reach TwoPipes() {
  Reach reach;
  reach.point = PointCode("FP-014");
  reach.upstream_residual = Sourced<Concentration>{Concentration::MilligramsPerLitre(1.1), Typed("")};
  ReachPipe wide;
  wide.length = {Length::Feet(1200), Typed("about")};
  wide.inner_diameter = {Diameter::Inches(8), Typed("")};
  wide.material = "AC";
  wide.services = {11, Typed("")};
  ReachPipe narrow = wide;
  narrow.length = {Length::Metres(123.4), {OriginKind::kMeasured, "wheel", {}, ""}};
  narrow.inner_diameter = {Diameter::Millimetres(150), {}};
  narrow.material = "";
  narrow.demand = Sourced<Flow>{Flow::GallonsPerDay(1234), Typed("billing")};
  reach.pipes = {wide, narrow};
  return reach;
}

TEST_F(ProjectFile, AReachReadsBackWithItsPipesInOrder) {
  Project project = New();
  ASSERT_TRUE(project.PutFlushPoint(FullPoint()).ok());
  ASSERT_TRUE(project.PutReach(TwoPipes()).ok());
  EXPECT_EQ(*project.Reaches(), std::vector<Reach>{TwoPipes()});
  Reach one = TwoPipes();
  one.pipes.pop_back();
  one.upstream_residual.reset();
  ASSERT_TRUE(project.PutReach(one).ok());
  EXPECT_EQ(**project.ReachOf(one.point), one);
  EXPECT_FALSE(project.ReachOf(PointCode("BO-2"))->has_value());
}

TEST_F(ProjectFile, AReachOfNobodyIsRefused) {
  Project project = New();
  const Status put = project.PutReach(TwoPipes());
  ASSERT_FALSE(put.ok());
  EXPECT_EQ(put.error().code, ErrorCode::kNotFound);
}

ControllerForm FullForm() {
  ControllerForm form;
  form.name = "three-button";
  form.programmes = 3;
  form.starts_per_programme = 4;
  form.start_step_minutes = 5;
  form.minutes_min = 1;
  form.minutes_max = 360;
  form.minutes_step = 1;
  form.percent_min = 10;
  form.percent_max = 200;
  form.percent_step = 10;
  form.percent_scope = PercentScope::kAll;
  form.day_patterns = {DayPatternKind::kWeekdays, DayPatternKind::kEveryN};
  form.odd_skips_31st = false;
  form.every_n_max = 30;
  form.follows_clock_change = true;
  form.overlap = Overlap::kRestart;
  return form;
}

TEST_F(ProjectFile, AControllerFormReadsBackFilledInAndEmpty) {
  Project project = New();
  ControllerForm empty;
  empty.name = "grey box";
  ASSERT_TRUE(project.PutControllerForm(FullForm()).ok());
  ASSERT_TRUE(project.PutControllerForm(empty).ok());
  EXPECT_EQ(*project.ControllerForms(), (std::vector<ControllerForm>{empty, FullForm()}));
}

SettingsRecord FullSettings() {
  SettingsRecord record;
  record.point = PointCode("FP-014");
  record.kind = SettingsKind::kAsLeft;
  record.settings.percent = 130;
  record.settings.programmes = {{{70, 790}, 30, Weekdays{0x15}, {}},
                                {{240}, 10, OddDates{}, {}},
                                {{300}, 5, EveryNDays{3, *ParseDate("2026-07-01")}, 80}};
  record.recorded = *ParseRfc3339("2026-07-02T15:04:05Z");
  record.who = "R. Ames";
  record.why = "summer";
  record.revert_by = *ParseDate("2026-09-30");
  record.clock_fast_minutes = -12;
  return record;
}

TEST_F(ProjectFile, SettingsReadBackAndTheLatestOfAKindIsFound) {
  Project project = New();
  ASSERT_TRUE(project.PutFlushPoint(FullPoint()).ok());
  SettingsRecord left = FullSettings();
  SettingsRecord found = FullSettings();
  found.kind = SettingsKind::kAsFound;
  found.recorded = At("2026-06-01T00:00:00Z");
  found.revert_by.reset();
  found.clock_fast_minutes.reset();
  found.settings.on = false;
  left.id = *project.AddSettings(left);
  found.id = *project.AddSettings(found);
  EXPECT_EQ(*project.SettingsOf(left.point), (std::vector<SettingsRecord>{found, left}));
  EXPECT_EQ(**project.LatestSettings(left.point, {SettingsKind::kAsFound, SettingsKind::kAsLeft}), left);
  EXPECT_EQ(**project.LatestSettings(left.point, {SettingsKind::kAsFound}), found);
  EXPECT_FALSE(project.LatestSettings(left.point, {SettingsKind::kPlanned})->has_value());
}

TEST_F(ProjectFile, ACorrectionTakesThePlaceOfTheRecordItNames) {
  Project project = New();
  ASSERT_TRUE(project.PutFlushPoint(FullPoint()).ok());
  SettingsRecord wrong = FullSettings();
  const SettingsId first = *project.AddSettings(wrong);
  SettingsRecord right = FullSettings();
  right.settings.percent = 100;
  right.id = *project.AddSettings(right, first);
  EXPECT_EQ(*project.SettingsOf(right.point), std::vector<SettingsRecord>{right});
  EXPECT_EQ(project.AddSettings(right, first).error().code, ErrorCode::kConflict);  // corrected once already
  EXPECT_EQ(project.AddSettings(right, SettingsId{99}).error().code, ErrorCode::kNotFound);
}

}  // namespace
}  // namespace lastreach
