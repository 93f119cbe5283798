#include "app/import_layer.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "app/layer_changes.h"
#include "app/test_sheets.h"

namespace lastreach {
namespace {

using Json = nlohmann::json;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::Not;

std::string Feature(const std::string& properties, const std::string& geometry) {
  return R"({"type":"Feature","properties":{)" + properties + R"(},"geometry":)" + geometry + "}";
}
std::string Collection(const std::vector<std::string>& features) {
  std::string text = R"({"type":"FeatureCollection","features":[)";
  for (size_t i = 0; i < features.size(); ++i) text += (i == 0 ? "" : ",") + features[i];
  return text + "]}";
}
std::string LineAt(double east) {
  return R"({"type":"LineString","coordinates":[[)" + std::to_string(-95.4 + east) + ",29.7],[" +
         std::to_string(-95.399 + east) + ",29.7]]}";
}

const std::string kMain1 = Feature(R"("id":"M-1","diameter":6,"material":"DIP")", LineAt(0));
const std::string kMain2 = Feature(R"("id":"M-2","diameter":-9.99,"material":"PVC")", LineAt(0.01));

class ImportALayer : public WithAProject {
 protected:
  Drawing Drawn() const {
    const auto project = Project::Open(project_);
    EXPECT_TRUE(project.ok());
    return *project->LoadDrawing();
  }
};

TEST_F(ImportALayer, MainsComeInAndAreShown) {
  const std::string layer =
      Write("mains.geojson", Collection({kMain1, kMain2, Feature(R"("id":"M-3")", "null")}));
  const Answer answer = Import(layer, "mains");
  ExpectDone(answer);
  EXPECT_THAT(answer.out, HasSubstr("diameter <- 'diameter'"));
  EXPECT_THAT(answer.out, HasSubstr("3 features: 2 came in, 1 did not."));
  EXPECT_THAT(answer.out, HasSubstr("mains in use: 2, 0.2 km"));
  EXPECT_THAT(answer.out, HasSubstr("feature 3: it has no geometry"));
  EXPECT_THAT(answer.out, HasSubstr("diameter: 67 % unknown (-9.99 1, blank 1)"));
  const Drawing drawn = Drawn();
  ASSERT_EQ(drawn.mains.size(), 2U);
  EXPECT_EQ(drawn.mains[0].key, (FeatureKey{"mains.geojson", "M-1"}));
  EXPECT_NEAR(drawn.mains[0].diameter->value.inches(), 6, 1e-9);
}

TEST_F(ImportALayer, PreviewWritesNothing) {
  const std::string layer = Write("mains.geojson", Collection({kMain1}));
  const std::string before = Bytes(project_);
  EXPECT_THAT(Import(layer, "mains", {"--preview"}).out, HasSubstr("1 feature: 1 would come in, 0 did not."));
  EXPECT_EQ(Bytes(project_), before);
}

TEST_F(ImportALayer, ASecondTimeReplacesTheDrawingAndSaysWhatChanged) {
  ExpectDone(Import(Write("mains.geojson", Collection({kMain1, kMain2})), "mains"));
  EXPECT_THAT(Import(Path("mains.geojson"), "mains").out,
              HasSubstr("The layer was in the project with 2: 0 new, 0 changed, 0 gone."));
  ExpectDone(Import(Write("other.geojson", Collection({kMain1})), "mains"));
  const std::string wider = Feature(R"("id":"M-1","diameter":8,"material":"DIP")", LineAt(0));
  const std::string third = Feature(R"("id":"M-3","diameter":8,"material":"DIP")", LineAt(0.02));
  const Answer answer = Import(Write("mains.geojson", Collection({wider, third})), "mains");
  EXPECT_THAT(answer.out, HasSubstr("The layer was in the project with 2: 1 new, 1 changed, 1 gone."));
  std::vector<std::string> keys;
  for (const DrawnMain& main : Drawn().mains) keys.push_back(main.key.layer + " " + main.key.key);
  std::sort(keys.begin(), keys.end());
  EXPECT_THAT(keys, ElementsAre("mains.geojson M-1", "mains.geojson M-3", "other.geojson M-1"));
}

TEST_F(ImportALayer, JsonTellsWhatTheTextDoes) {
  const std::string layer =
      Write("mains.geojson",
            Collection({kMain1, kMain2, Feature(R"("id":"M-3")", "null"),
                        Feature(R"("id":"M-4")", R"({"type":"LineString","coordinates":[[0,0],[0,0]]})")}));
  const Answer answer = Import(layer, "mains", {"--json"});
  ExpectDone(answer);
  const Json json = Json::parse(answer.out);
  EXPECT_EQ(json.at("layer"), "mains");
  EXPECT_EQ(json.at("kept_as"), "mains.geojson");
  EXPECT_EQ(json.at("kind"), "mains");
  EXPECT_EQ(json.at("written"), true);
  EXPECT_EQ(json.at("rows"), 4);
  EXPECT_EQ(json.at("rows_in"), 3);
  EXPECT_EQ(json.at("features").at("mains in use").at("count"), 2);
  EXPECT_EQ(json.at("changes").at("added"), 2);
  EXPECT_EQ(json.at("rejected").at(0).at("line"), 3);
  EXPECT_EQ(json.at("set_aside").at(0).at("key"), "M-4");
  EXPECT_THAT(json.at("coordinate_system").get<std::string>(), HasSubstr("WGS 84"));
  const auto project = Project::Open(project_);
  EXPECT_EQ(project->ImportSetAside()->size(), 1U);
  EXPECT_EQ(project->Imports()->back().kind, "mains");
}

TEST_F(ImportALayer, ManyRejectedFeaturesAreCountedAndAllKept) {
  std::vector<std::string> features = {kMain1};
  for (int i = 0; i < 25; ++i) features.push_back(Feature(R"("id":"N-)" + std::to_string(i) + "\"", "null"));
  const Answer answer = Import(Write("mains.geojson", Collection(features)), "mains");
  ExpectDone(answer);
  EXPECT_THAT(answer.out, HasSubstr("feature 11: it has no geometry"));
  EXPECT_THAT(answer.out, Not(HasSubstr("feature 12:")));
  EXPECT_THAT(answer.out, HasSubstr("and 15 more: it has no geometry"));
  const auto project = Project::Open(project_);
  const auto log = project->Imports();
  EXPECT_EQ(project->RejectedRows(log->back().id)->size(), 25U);
}

TEST_F(ImportALayer, SewersAreQuestionedInOneLineAndComeInWhenCertain) {
  const std::string sewer = Feature(R"("id":"S-1","material":"VCP","upinvert":101.2)", LineAt(0));
  const std::string layer = Write("lines.geojson", Collection({sewer}));
  ExpectRefused(Import(layer, "mains"), {"look like sewers", "upinvert", "VCP", "--certain"});
  ExpectDone(Import(layer, "mains", {"--certain"}));
  ExpectRefused(Import(layer, "valves"), {"the layer shows lines, and valves are points"});
}

TEST_F(ImportALayer, ServicesAndZonesAreLayersWhereTheyHavePlacesAndSheetsElsewhere) {
  ImportAll();  // zones.csv is a sheet
  EXPECT_TRUE(Drawn().areas.empty());
  ExpectDone(
      Import(Write("zones.geojson",
                   Collection({Feature(R"("name":"North")",
                                       R"({"type":"Polygon","coordinates":[[[0,0],[1,0],[1,1],[0,0]]]})")})),
             "zones"));
  EXPECT_EQ(Drawn().areas.at(0).name, "North");
  ExpectDone(Import(Write("services.csv", "Device,Services\nD1,9\n"), "services"));
  EXPECT_TRUE(Drawn().services.empty());
  ExpectDone(Import(Write("meters.csv", "Meter,Lon,Lat,Use (m3/month)\n7,-95.4,29.7,12\n"), "services"));
  EXPECT_EQ(Drawn().services.size(), 1U);
}

TEST_F(ImportALayer, AColumnsFileNamesColumnsAndCodes) {
  const std::string columns = Write("columns.toml",
                                    "[columns]\ndiameter = \"W\"\n[values.diameter]\nA = \"150 mm\"\n"
                                    "[values.material]\n1 = \"ductile iron\"\n");
  const std::string layer =
      Write("pipes.csv",
            "id,W,material,WKT\n1,A,1,\"LINESTRING(0 0,0.001 0)\"\n2,A,2,\"LINESTRING(1 0,1.001 0)\"\n");
  ExpectDone(Import(layer, "mains", {"--columns", columns}));
  EXPECT_NEAR(Drawn().mains.at(0).diameter->value.millimetres(), 150, 1e-9);
  EXPECT_EQ(Drawn().mains.at(0).material, "ductile iron");
}

// A grid of 3 x 2 heights as plain text, a format any raster reader knows.
TEST_F(ImportALayer, HeightsComeInMetresCroppedToTheMains) {
  const std::string grid =
      Write("dem.asc",
            "ncols 3\nnrows 2\nxllcorner -95.5\nyllcorner 29.6\ncellsize 0.1\nNODATA_value -9999\n"
            "10 20 30\n40 50 -9999\n");
  const Answer answer = Import(grid, "elevation", {"--crs", "EPSG:4326", "--units", "ft"});
  ExpectDone(answer);
  EXPECT_THAT(answer.out, HasSubstr("heights from 3 to 15 m on 3 x 2 cells"));
  ASSERT_EQ(Drawn().elevations.size(), 1U);
  EXPECT_NEAR(Drawn().elevations[0].metres.at(4), 50 * 0.3048, 1e-4);
  ExpectRefused(Import(grid, "elevation", {"--crs", "EPSG:4326", "--units", "cubits"}),
                {"--units", "cubits"});
  // Mains in the middle of the cell of 40.
  ExpectDone(Import(
      Write("mains.geojson",
            Collection({Feature(R"("id":"M-1")",
                                R"({"type":"LineString","coordinates":[[-95.45,29.65],[-95.449,29.65]]})")})),
      "mains"));
  EXPECT_THAT(Import(grid, "elevation", {"--crs", "EPSG:4326", "--json"}).out, HasSubstr("\"columns\": 1,"));
}

TEST_F(ImportALayer, ALayerOfWhichNothingComesInLeavesTheOneBeforeAlone) {
  const auto zone = [](const std::string& name) {
    return Collection({Feature(R"("name":")" + name + "\"",
                               R"({"type":"Polygon","coordinates":[[[0,0],[1,0],[1,1],[0,0]]]})")});
  };
  ExpectDone(Import(Write("zones.geojson", zone("North")), "zones"));
  const Answer answer = Import(Write("zones.geojson", zone("")), "zones", {"--json"});
  EXPECT_EQ(answer.code, 2);
  EXPECT_THAT(answer.err, HasSubstr("no feature came in; the first: the zone has no name"));
  EXPECT_EQ(Json::parse(answer.out).at("rows_in"), 0);
  EXPECT_EQ(Drawn().areas.at(0).name, "North");
}

TEST_F(ImportALayer, WhatOnlyLayersHaveIsRefusedForSheets) {
  ExpectRefused(Import(Write("devices.csv", kDevicesCsv), "devices", {"--crs", "EPSG:2278"}), {"--crs"});
  ExpectRefused(Import(Path("no-such.geojson"), "mains"), {"no-such.geojson", "there is no such file"});
}

TEST_F(ImportALayer, AFilterKeepsSomeFeatures) {
  const std::string layer = Write("mains.geojson", Collection({kMain1, kMain2}));
  EXPECT_THAT(Import(layer, "mains", {"--where", "id = 'M-2'"}).out, HasSubstr("1 feature: 1 came in"));
  EXPECT_EQ(Drawn().mains.at(0).key.key, "M-2");
  ExpectRefused(Import(layer, "mains", {"--where", "id = "}), {"--where"});
}

}  // namespace
}  // namespace lastreach
