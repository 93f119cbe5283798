// Whether other programs can read the file. The judges are GDAL's ogrinfo and its check of GeoPackages.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <sstream>

#include "store/database.h"
#include "store/project_fixture.h"
#include "store/run_command.h"

namespace lastreach {
namespace {

using testing::HasSubstr;

std::vector<std::string> Names(Database& database, const std::string& sql) {
  std::vector<std::string> names;
  const Status ran = database.Query(sql, {}, [&](const Row& row) -> Status {
    names.push_back(row.Text("name"));
    return Ok();
  });
  EXPECT_TRUE(ran.ok());
  return names;
}

TEST_F(ProjectFile, OpensInAnyGisWithItsPointsOnTheMap) {
  { const Project project = WithPoint(); }
  const Finished layers = RunCommand("ogrinfo -ro '" + Path() + "'");
  EXPECT_EQ(layers.status, 0) << layers.said;
  EXPECT_THAT(layers.said, HasSubstr("flush_points (Point)"));
  for (const char* table : {"samples", "settings_records", "meter_reads", "visits", "limits", "plans"}) {
    EXPECT_THAT(layers.said, HasSubstr(std::string(": ") + table + " (None)"));
  }
  const Finished points = RunCommand("ogrinfo -ro -al '" + Path() + "' flush_points");
  EXPECT_EQ(points.status, 0);
  EXPECT_THAT(points.said, HasSubstr("POINT (-94.12345678901"));
  EXPECT_THAT(points.said, HasSubstr("EPSG\",4326"));
  EXPECT_THAT(points.said, HasSubstr("code (String) = FP-014"));
  EXPECT_THAT(points.said, HasSubstr("flow_l_per_s (Real) = 3.848501"));
}

TEST_F(ProjectFile, PassesTheGeoPackageCheck) {
  {
    Project project = WithPoint();
    FlushPoint nowhere = FullPoint();
    nowhere.code = PointCode("BO-2");
    nowhere.position.reset();
    ASSERT_TRUE(project.PutFlushPoint(nowhere).ok());
    ASSERT_TRUE(project.AddVisit(AVisit("")).ok());
    ASSERT_TRUE(project
                    .LogImport({{}, "a.csv", "samples", At("2026-08-01T12:00:00Z"), "", 1, 1},
                               {{3, "", "", "why", ""}})
                    .ok());
    ASSERT_TRUE(project.PutPlan({Code(), "summer", At("2026-08-01T12:00:00Z"), "{}"}).ok());
  }
  const Finished check = RunCommand("/usr/bin/python3 -m osgeo_utils.samples.validate_gpkg '" + Path() + "'");
  EXPECT_EQ(check.status, 0) << check.said;
}

TEST_F(ProjectFile, APointMovedByAnotherProgramIsReadWhereItWasPut) {
  { const Project project = WithPoint(); }
  const Finished moved = RunCommand(
      "/usr/bin/python3 -c \"from osgeo import ogr; d = ogr.Open('" + Path() +
      "', 1); l = d.GetLayer('flush_points'); f = l.GetNextFeature(); "
      "f.SetGeometry(ogr.CreateGeometryFromWkt('POINT (-94.5 39.25)')); l.SetFeature(f); d = None\"");
  ASSERT_EQ(moved.status, 0) << moved.said;
  const auto project = Project::Open(Path());
  ASSERT_TRUE(project.ok()) << project.error().ToString();
  EXPECT_EQ(project->FindFlushPoint(Code())->position, (Position{-94.5, 39.25}));
}

TEST_F(ProjectFile, EveryTableAndColumnIsInTheDocument) {
  { const Project project = New(); }
  std::ifstream file("docs/formats/project-file.md");
  std::stringstream text;
  text << file.rdbuf();
  ASSERT_FALSE(text.str().empty());
  const auto raw = Database::Open(Path(), 1000);
  for (const std::string& table : Names(**raw,
                                        "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT "
                                        "LIKE 'sqlite_%' AND name NOT LIKE 'gpkg_%'")) {
    EXPECT_THAT(text.str(), HasSubstr("`" + table + "`"));
    for (const std::string& column : Names(**raw, "SELECT name FROM pragma_table_info('" + table + "')")) {
      // The four columns of an origin are described once for all.
      bool is_origin = false;
      for (const char* end : {"_origin", "_by", "_when", "_note"}) {
        is_origin = is_origin || (column.size() > 7 && column.ends_with(end) && column != "revert_by");
      }
      if (!is_origin) {
        EXPECT_THAT(text.str(), HasSubstr("`" + column + "`")) << table;
      }
    }
  }
}

}  // namespace
}  // namespace lastreach
