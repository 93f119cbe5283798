// Whether other programs see the map: GDAL's ogrinfo and its check of GeoPackages are the judges.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>

#include "store/map_fixture.h"
#include "store/run_command.h"
#include "store/schema.h"

namespace lastreach {
namespace {

using testing::HasSubstr;

struct Expected {
  const char* layer;
  const char* geometry;  // as ogrinfo calls it
  int features;
};

TEST_F(ProjectFile, AGisSeesEachLayerOfTheMap) {
  {
    Project project = New();
    PutEverything(project);
  }
  for (const Expected& expected : {Expected{"mains", "Line String", 2},
                                   Expected{"things", "Point", 1},
                                   Expected{"services", "Point", 1},
                                   Expected{"supply_areas", "Multi Polygon", 1},
                                   Expected{"set_aside", "Point", 2},
                                   Expected{"elevation_grids", "None", 1},
                                   Expected{"elevation_strips", "None", 1},
                                   Expected{"network_nodes", "Point", 3},
                                   Expected{"network_links", "Line String", 4},
                                   Expected{"node_things", "None", 2},
                                   Expected{"connections", "None", 2},
                                   Expected{"network_options", "None", 1},
                                   Expected{"network_patterns", "None", 4},
                                   Expected{"network_runs", "None", 2},
                                   Expected{"network_rules", "None", 3},
                                   Expected{"network_results", "None", 0},
                                   Expected{"network_result_steps", "None", 0},
                                   Expected{"repairs", "Point", 1},
                                   Expected{"repair_decisions", "None", 1},
                                   Expected{"quiet_places", "Point", 1},
                                   Expected{"quiet_reaches", "Multi Line String", 1},
                                   Expected{"quiet_pieces", "None", 2}}) {
    const Finished seen = RunCommand("ogrinfo -ro -so '" + Path() + "' " + std::string(expected.layer));
    EXPECT_EQ(seen.status, 0) << seen.said;
    EXPECT_THAT(seen.said, HasSubstr("Geometry: " + std::string(expected.geometry) + "\n"));
    EXPECT_THAT(seen.said, HasSubstr("Feature Count: " + std::to_string(expected.features) + "\n"));
  }
  const Finished main =
      RunCommand("ogrinfo -ro -al -q '" + Path() + "' mains -where \"feature = '29521:2'\"");
  EXPECT_THAT(main.said, HasSubstr("LINESTRING (-94.1234567890123 38.1,-94.12 38.1000001,-94.119 38.2)"));
  EXPECT_THAT(main.said, HasSubstr("diameter_mm (Real) = 152.4\n"));  // 6 in x 25.4
  const Finished area = RunCommand("ogrinfo -ro -al -q '" + Path() + "' supply_areas");
  EXPECT_THAT(area.said, HasSubstr("MULTIPOLYGON (((-94.3 38.0,-94 38,-94 38.3,-94.3 38.0),(-94.1 38.1,"));
}

TEST_F(ProjectFile, AFileWithEverythingPassesTheGeoPackageCheck) {
  {
    Project project = New();
    PutEverything(project);
  }
  const Finished check = RunCommand("/usr/bin/python3 -m osgeo_utils.samples.validate_gpkg '" + Path() + "'");
  EXPECT_EQ(check.status, 0) << check.said;
}

// What a GIS makes of a line that a person has pulled straight: another envelope, perhaps another byte order.
TEST_F(ProjectFile, AMainMovedByAnotherProgramIsReadWhereItWasPut) {
  {
    Project project = New();
    PutEverything(project);
  }
  const Finished moved = RunCommand(
      "/usr/bin/python3 -c \"from osgeo import ogr; d = ogr.Open('" + Path() +
      "', 1); l = d.GetLayer('mains'); f = l.GetNextFeature(); "
      "f.SetGeometry(ogr.CreateGeometryFromWkt('LINESTRING (-94.5 39.25, -94.25 39.5)')); l.SetFeature(f); "
      "d = None\"");
  ASSERT_EQ(moved.status, 0) << moved.said;
  const Drawing drawing = *Project::Open(Path())->LoadDrawing();
  EXPECT_EQ(drawing.mains[0].line, (std::vector<Position>{{-94.5, 39.25}, {-94.25, 39.5}}));
}

TEST_F(ProjectFile, AFileOfTheThirdVersionGainsTheMapAndKeepsItsRows) {
  { const std::ofstream claim(Path(), std::ios::binary); }
  {
    const auto raw = Database::Open(Path(), 1000);
    ASSERT_TRUE((*raw)
                    ->InTransaction([&]() -> Status {
                      if (const Status frame = WriteGeoPackageFrame(**raw); !frame.ok()) return frame;
                      return Migrate(**raw, 3);
                    })
                    .ok());
    ASSERT_TRUE((*raw)
                    ->RunScript("INSERT INTO project VALUES (1, 'Alderbrook', 'America/Chicago', "
                                "'2026-07-01T12:00:00.000Z')")
                    .ok());
    EXPECT_EQ(*SchemaVersion(**raw), 3);
    EXPECT_EQ(**(*raw)->QueryInt("SELECT count(*) FROM sqlite_master WHERE name = 'mains'"), 0);
  }
  auto project = Project::Open(Path());
  ASSERT_TRUE(project.ok()) << project.error().ToString();
  EXPECT_EQ(project->Info()->name, "Alderbrook");
  PutEverything(*project);
  EXPECT_EQ(**project->LoadNetwork(), FullNetwork());
  EXPECT_EQ(*SchemaVersion(**Database::Open(Path(), 1000)), NewestSchemaVersion());
}

TEST_F(ProjectFile, ATankOfAFileOfTheFourthVersionIsMixedAndNothingLeaks) {
  { const std::ofstream claim(Path(), std::ios::binary); }
  {
    const auto raw = Database::Open(Path(), 1000);
    ASSERT_TRUE((*raw)
                    ->InTransaction([&]() -> Status {
                      if (const Status frame = WriteGeoPackageFrame(**raw); !frame.ok()) return frame;
                      return Migrate(**raw, 4);
                    })
                    .ok());
    ASSERT_TRUE(
        (*raw)
            ->RunScript("INSERT INTO project VALUES (1, 'Alderbrook', 'America/Chicago', "
                        "'2026-07-01T12:00:00.000Z');"
                        "INSERT INTO network_options (made_from, head_loss, hazen_williams_constant, "
                        "viscosity_m2_per_s, bulk_per_day, wall_m_per_day, diffusivity_m2_per_s, "
                        "temperature_c) VALUES ('map', 'hazen-williams', 10.667, 1e-6, 0, 0, 1e-9, 15);"
                        "INSERT INTO network_nodes (id, kind, demand_m3_per_s, pattern, tank_diameter_m, "
                        "tank_level_m, tank_min_level_m, tank_max_level_m, zone, has_hydrant, has_blow_off) "
                        "VALUES ('T', 'tank', 0, '', 12, 2.5, 0.5, 4, '', 0, 0)")
            .ok());
  }
  const Network network = **Project::Open(Path())->LoadNetwork();
  ASSERT_EQ(network.nodes.size(), 1U);
  EXPECT_EQ(network.nodes[0].tank, (TankShape{12, 2.5, 0.5, 4, TankMixing::kMixed}));
  EXPECT_FALSE(network.nodes[0].leak);
  EXPECT_FALSE(network.options.short_pressure);
  EXPECT_EQ(network.options.temperature_c, 15);
}

}  // namespace
}  // namespace lastreach
