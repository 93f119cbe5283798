#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <set>

#include "app/test_program.h"
#include "import/import.h"
#include "import/layer.h"
#include "store/project.h"

namespace lastreach {
namespace {

using ::testing::HasSubstr;
using ::testing::MatchesRegex;
using ::testing::Not;

class DemoCommand : public InAFolder {
 protected:
  Project Made(const std::string& folder) const {
    ExpectDone(RunProgram({"demo", folder}));
    auto project = Project::Open(folder + "/town.gpkg");
    EXPECT_TRUE(project.ok());
    return *std::move(project);
  }
};

TEST_F(DemoCommand, WritesTheSameSheetsEverywhere) {
  ExpectDone(RunProgram({"demo", Path("one")}));
  ExpectDone(RunProgram({"demo", Path("two")}, "2031-01-01T00:00:00Z"));
  const std::vector<std::string> names = Names("one/sheets");
  EXPECT_EQ(names.size(), 12U);
  EXPECT_EQ(Names("two/sheets"), names);
  for (const std::string& name : names) {
    EXPECT_EQ(Bytes(Path("one/sheets/" + name)), Bytes(Path("two/sheets/" + name))) << name;
  }
}

TEST_F(DemoCommand, WritesTheLayersOfTheMapAndSaysWhere) {
  const Answer answer = RunProgram({"demo", Path("town")});
  ExpectDone(answer);
  EXPECT_THAT(answer.out, HasSubstr(Path("town/gis")));
  for (const char* layer : {"mains.shp", "services.gpkg", "valves.geojson", "hydrants.csv", "works.geojson",
                            "zones.gpkg", "elevation.tif", "sewers.geojson"}) {
    EXPECT_THAT(Names("town/gis"), testing::Contains(layer));
  }
}

// Each layer that is taken in is named with what came of it. The sewers are written, so that somebody may try
// to take them for mains, and stay out.
TEST_F(DemoCommand, TakesInTheLayersOfTheMapButNotTheSewers) {
  const Answer answer = RunProgram({"demo", Path("town")});
  ExpectDone(answer);
  for (const char* layer :
       {"mains.shp", "services.gpkg", "valves.geojson", "hydrants.csv", "works.geojson", "zones.gpkg"}) {
    EXPECT_THAT(answer.out,
                MatchesRegex(".*  " + std::string(layer) + ": [1-9][0-9]* features in, 0 not\n.*"));
  }
  EXPECT_THAT(answer.out, HasSubstr("  elevation.tif: heights in\n"));
  EXPECT_THAT(answer.out, Not(HasSubstr("sewers.geojson")));
  const auto project = Project::Open(Path("town/town.gpkg"));
  const Drawing drawing = *project->LoadDrawing();
  for (const DrawnMain& main : drawing.mains) EXPECT_EQ(main.key.layer, "mains.shp");
  EXPECT_TRUE((*project->LoadNetwork()).has_value());
}

TEST_F(DemoCommand, HoldsTwentyFourDevicesAndFortyHandFlushedEnds) {
  const Project project = Made(Path("town"));
  int devices = 0, by_hand = 0;
  const std::vector<FlushPoint> points = *project.FlushPoints();
  for (const FlushPoint& point : points) ++(point.kind == PointKind::kDevice ? devices : by_hand);
  EXPECT_EQ(devices, 24);
  EXPECT_EQ(by_hand, 40);
}

TEST_F(DemoCommand, EveryRowOfEverySheetAndEveryFeatureOfEveryLayerIsInOrListed) {
  const Project project = Made(Path("town"));
  const std::vector<ImportEntry> log = *project.Imports();
  std::set<std::string> files;
  for (const ImportEntry& entry : log) {
    files.insert(entry.file);
    const TableKind kind = *ParseTableKind(entry.kind);
    if (kind == TableKind::kElevation) continue;  // one grid, no rows
    const bool layer = entry.file.starts_with(Path("town/gis"));
    const Result<Table> table = layer ? ReadLayer(entry.file, kind, {})->table : ReadTable(entry.file, kind);
    ASSERT_TRUE(table.ok()) << entry.file;
    EXPECT_GT(table->rows.size(), 0U) << entry.file;
    EXPECT_EQ(static_cast<size_t>(entry.rows_in + entry.rows_rejected), table->rows.size()) << entry.file;
    EXPECT_GE(project.RejectedRows(entry.id)->size(), static_cast<size_t>(entry.rows_rejected)) << entry.file;
  }
  EXPECT_EQ(log.size(), 18U);  // eleven sheets, seven layers
  EXPECT_EQ(files.size(), 18U);
}

TEST_F(DemoCommand, IsMadeAnewEachTime) {
  const size_t once = Made(Path("town")).Samples()->size();
  EXPECT_GT(once, 0U);
  EXPECT_EQ(Made(Path("town")).Samples()->size(), once);
}

TEST_F(DemoCommand, LeavesAProjectThatIsNotItsOwn) {
  std::filesystem::create_directory(Path("mill"));
  const std::string own = Path("mill/town.gpkg");
  ExpectDone(RunProgram({"new", own, "--zone", "UTC", "--name", "Mill End"}));
  ExpectRefused(RunProgram({"demo", Path("mill")}), {own});
  EXPECT_EQ(Project::Open(own)->Info()->name, "Mill End");
  EXPECT_FALSE(std::filesystem::exists(Path("mill/sheets")));
}

TEST_F(DemoCommand, SaysWhereItIsAndWhatIsNext) {
  const Answer answer = RunProgram({"demo", Path("town")});
  EXPECT_THAT(answer.out, HasSubstr(Path("town/sheets")));
  EXPECT_THAT(answer.out, HasSubstr("lastreach plan " + Path("town/town.gpkg")));
}

TEST_F(DemoCommand, RefusesAFolderItCannotMake) {
  const std::string file = Write("file", "in the way");
  ExpectRefused(RunProgram({"demo", file}), {file});
}

}  // namespace
}  // namespace lastreach
