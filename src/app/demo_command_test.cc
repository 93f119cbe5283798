#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "app/test_program.h"
#include "import/import.h"
#include "store/project.h"

namespace lastreach {
namespace {

using ::testing::HasSubstr;

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
  EXPECT_EQ(names.size(), 9U);
  EXPECT_EQ(Names("two/sheets"), names);
  for (const std::string& name : names) {
    EXPECT_EQ(Bytes(Path("one/sheets/" + name)), Bytes(Path("two/sheets/" + name))) << name;
  }
}

TEST_F(DemoCommand, WritesTheLayersOfTheMapAndNamesThem) {
  const Answer answer = RunProgram({"demo", Path("town")});
  ExpectDone(answer);
  EXPECT_THAT(answer.out, HasSubstr(Path("town/gis")));
  for (const char* layer : {"mains.shp", "services.gpkg", "valves.geojson", "hydrants.csv", "works.geojson",
                            "zones.gpkg", "elevation.tif"}) {
    EXPECT_THAT(answer.out, HasSubstr(layer));
    EXPECT_THAT(Names("town/gis"), testing::Contains(layer));
  }
  // The trap lies beside them and is not taken in.
  EXPECT_THAT(Names("town/gis"), testing::Contains("sewers.geojson"));
  EXPECT_THAT(answer.out, testing::Not(HasSubstr("sewers.geojson")));
}

TEST_F(DemoCommand, HoldsTwentyFourDevicesAndFortyHandFlushedEnds) {
  const Project project = Made(Path("town"));
  int devices = 0, by_hand = 0;
  const std::vector<FlushPoint> points = *project.FlushPoints();
  for (const FlushPoint& point : points) ++(point.kind == PointKind::kDevice ? devices : by_hand);
  EXPECT_EQ(devices, 24);
  EXPECT_EQ(by_hand, 40);
}

TEST_F(DemoCommand, EveryRowOfEverySheetIsInOrListed) {
  const Project project = Made(Path("town"));
  const std::vector<ImportEntry> log = *project.Imports();
  ASSERT_EQ(log.size(), 8U);
  for (const ImportEntry& entry : log) {
    const Result<Table> table = ReadTable(entry.file, *ParseTableKind(entry.kind));
    ASSERT_TRUE(table.ok()) << entry.file;
    EXPECT_EQ(static_cast<size_t>(entry.rows_in + entry.rows_rejected), table->rows.size()) << entry.file;
    EXPECT_GE(project.RejectedRows(entry.id)->size(), static_cast<size_t>(entry.rows_rejected)) << entry.file;
  }
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
