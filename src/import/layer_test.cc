#include "import/layer.h"

#include <cpl_vsi.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>

#include "import/tags.h"
#include "import/written_file.h"
#include "import/written_layer.h"

namespace lastreach {
namespace {

using testing::Contains;
using testing::HasSubstr;

// Two mains near 29.75 N 95.35 W, inside the area of EPSG:2278 (US survey feet); the first with a bend.
const std::vector<WrittenFeature> kLines = {
    {"LINESTRING (-95.3500 29.7500, -95.3490 29.7502, -95.3490 29.7510)", {"M-1", "6", "DIP"}},
    {"LINESTRING (-95.3490 29.7510, -95.3470 29.7510)", {"M-2", "8", "PVC"}}};

WrittenLayer Lines(const std::string& driver, const std::string& crs) {
  return {driver,
          crs,
          "mains",
          {{"facilityid"}, {"diameter", OFTReal}, {"material"}},
          kLines,
          driver == "ESRI Shapefile" || driver == "FlatGeobuf" ? wkbLineString : wkbUnknown,
          driver == "CSV" ? std::vector<std::string>{"GEOMETRY=AS_WKT"} : std::vector<std::string>{}};
}

// 1 mm is 1e-8 degrees and a bit.
void ExpectTheTwoLines(const Layer& layer) {
  ASSERT_EQ(layer.shapes.size(), 2U);
  ASSERT_EQ(layer.table.rows.size(), 2U);
  EXPECT_EQ(layer.kind, ShapeKind::kLine);
  const std::vector<std::vector<Position>> lines = {
      {{-95.3500, 29.7500}, {-95.3490, 29.7502}, {-95.3490, 29.7510}},
      {{-95.3490, 29.7510}, {-95.3470, 29.7510}}};
  // FlatGeobuf keeps features in the order of their place.
  const bool turned = layer.shapes[0].parts[0][0][0].longitude_deg > -95.3495;
  for (size_t i = 0; i < 2; ++i) {
    const Shape& shape = layer.shapes[turned ? 1 - i : i];
    ASSERT_EQ(shape.parts.size(), 1U);
    const auto& line = shape.parts[0][0];
    ASSERT_EQ(line.size(), lines[i].size());
    for (size_t j = 0; j < line.size(); ++j) {
      EXPECT_NEAR(line[j].longitude_deg, lines[i][j].longitude_deg, 1e-8);
      EXPECT_NEAR(line[j].latitude_deg, lines[i][j].latitude_deg, 9e-9);
    }
  }
}

std::string Cell(const Layer& layer, size_t row, const std::string& heading) {
  for (size_t i = 0; i < layer.table.headings.size(); ++i) {
    if (layer.table.headings[i] == heading) return layer.table.rows[row].cells[i];
  }
  return "no such heading";
}

struct Format {
  const char* driver;
  const char* file;
  const char* crs;
};
void PrintTo(const Format& format, std::ostream* out) { *out << format.file << " in " << format.crs; }

class ReadLayerOfAnyFormat : public testing::TestWithParam<Format> {};

TEST_P(ReadLayerOfAnyFormat, GivesTheSameLinesToAMillimetre) {
  const WrittenFile file(GetParam().file);
  WriteLayer(file.path(), Lines(GetParam().driver, GetParam().crs));
  LayerOptions options;
  // Text has no place for the coordinate system.
  if (std::string(GetParam().driver) == "CSV") options.crs = GetParam().crs;
  const auto layer = ReadLayer(file.path(), TableKind::kMains, options);
  ASSERT_TRUE(layer.ok()) << layer.error().ToString();
  ExpectTheTwoLines(*layer);
  const size_t first = Cell(*layer, 0, "facilityid") == "M-1" ? 0 : 1;
  EXPECT_EQ(Cell(*layer, first, "material"), "DIP");
  EXPECT_EQ(Cell(*layer, 1 - first, "facilityid"), "M-2");
  EXPECT_EQ(layer->key, GetParam().file);
}

INSTANTIATE_TEST_SUITE_P(Formats, ReadLayerOfAnyFormat,
                         testing::Values(Format{"GPKG", "a.gpkg", "EPSG:4326"},
                                         Format{"GPKG", "b.gpkg", "EPSG:2278"},
                                         Format{"GeoJSON", "c.geojson", "EPSG:4326"},
                                         Format{"ESRI Shapefile", "d.shp", "EPSG:2278"},
                                         Format{"ESRI Shapefile", "e.shp", "EPSG:32615"},
                                         Format{"FlatGeobuf", "f.fgb", "EPSG:2278"},
                                         Format{"CSV", "g.csv", "EPSG:4326"},
                                         Format{"CSV", "h.csv", "EPSG:2278"}));

TEST(ReadLayer, NumbersFeaturesAsTheirFileDoesAndFromOneWhereItBeginsAtZero) {
  for (const auto& [driver, name] : std::vector<std::pair<std::string, std::string>>{
           {"GPKG", "a.gpkg"}, {"GeoJSON", "b.geojson"}, {"ESRI Shapefile", "c.shp"}}) {
    const WrittenFile file(name);
    WriteLayer(file.path(), Lines(driver, "EPSG:4326"));
    LayerOptions second;
    second.where = "facilityid = 'M-2'";
    const auto layer = ReadLayer(file.path(), TableKind::kMains, second);
    ASSERT_TRUE(layer.ok()) << layer.error().ToString();
    ASSERT_EQ(layer->table.rows.size(), 1U) << driver;
    EXPECT_EQ(layer->table.rows[0].line, 2) << driver;
    EXPECT_EQ(layer->shapes.size(), 1U);
  }
}

TEST(ReadLayer, AFilterThatCannotBeMeantOrLeavesNothingIsOneLine) {
  const WrittenFile file("a.gpkg");
  WriteLayer(file.path(), Lines("GPKG", "EPSG:4326"));
  LayerOptions options;
  options.where = "facilityid ==== 3";
  EXPECT_THAT(ReadLayer(file.path(), TableKind::kMains, options).error().ToString(), HasSubstr("--where"));
  options.where = "facilityid = 'none'";
  EXPECT_THAT(ReadLayer(file.path(), TableKind::kMains, options).error().ToString(),
              HasSubstr("no feature of the layer is such that facilityid = 'none'"));
}

TEST(ReadLayer, KeepsPartsAndDropsHeightsAndStraightensCurves) {
  const WrittenFile file("a.gpkg");
  WrittenLayer written = Lines("GPKG", "EPSG:4326");
  written.features = {{"MULTILINESTRING ((0 0, 1 0), (2 0, 3 0))", {"M-1"}},
                      {"LINESTRING ZM (0 0 5 7, 1 1 6 8)", {"M-2"}},
                      {"CIRCULARSTRING (0 0, 1 1, 2 0)", {"M-3"}},
                      {"", {"M-4"}}};
  WriteLayer(file.path(), written);
  const auto layer = ReadLayer(file.path(), TableKind::kMains);
  ASSERT_TRUE(layer.ok()) << layer.error().ToString();
  EXPECT_EQ(layer->shapes[0].parts.size(), 2U);
  EXPECT_EQ(layer->shapes[1].parts[0][0], (std::vector<Position>{{0, 0}, {1, 1}}));
  // The arc is a half circle of radius 1 round 1 0.
  EXPECT_GT(layer->shapes[2].parts[0][0].size(), 10U);
  for (const Position& at : layer->shapes[2].parts[0][0])
    EXPECT_NEAR(std::hypot(at.longitude_deg - 1, at.latitude_deg), 1, 1e-9);
  EXPECT_EQ(layer->shapes[3].kind, ShapeKind::kNone);
  EXPECT_EQ(layer->shapes[3].fault, "it has no geometry");
}

TEST(ReadLayer, WithoutACoordinateSystemTakesDegreesAndAsksForTheRest) {
  const WrittenFile degrees("a.shp");
  WriteLayer(degrees.path(), Lines("ESRI Shapefile", ""));
  const auto layer = ReadLayer(degrees.path(), TableKind::kMains);
  ASSERT_TRUE(layer.ok()) << layer.error().ToString();
  ExpectTheTwoLines(*layer);
  EXPECT_THAT(layer->table.notes, Contains(HasSubstr("can be degrees and are taken so")));

  const WrittenFile feet("b.shp");
  WrittenLayer written = Lines("ESRI Shapefile", "");
  written.features = {{"LINESTRING (3120000 13840000, 3120100 13840000)", {"M-1", "6", "DIP"}}};
  WriteLayer(feet.path(), written);
  EXPECT_THAT(ReadLayer(feet.path(), TableKind::kMains).error().ToString(),
              HasSubstr("says no coordinate system; give it with --crs EPSG:2278"));
  LayerOptions given;
  given.crs = "EPSG:2278";
  const auto placed = ReadLayer(feet.path(), TableKind::kMains, given);
  ASSERT_TRUE(placed.ok()) << placed.error().ToString();
  EXPECT_THAT(placed->crs, HasSubstr("Texas South Central"));
  given.crs = "feet";
  EXPECT_THAT(ReadLayer(feet.path(), TableKind::kMains, given).error().ToString(), HasSubstr("'feet'"));
  given.crs = "EPSG:4326";
  EXPECT_THAT(ReadLayer(feet.path(), TableKind::kMains, given).error().ToString(),
              HasSubstr("cannot be the degrees of WGS 84"));
}

TEST(ReadLayer, AStrayVertexCostsItsFeatureWhereNothingNamesTheCoordinateSystemToo) {
  const WrittenFile file(
      "a.csv",
      "id,wkt\na,\"LINESTRING (-97.5 31.2,-97.499 31.2)\"\nb,\"LINESTRING (1e300 31.2,-97 31)\"\n"
      "c,\"LINESTRING (-97.499 31.2,-97.499 31.201)\"\nd,\"LINESTRING (nan 31.2,-97 31)\"\n");
  const auto layer = ReadLayer(file.path(), TableKind::kMains);
  ASSERT_TRUE(layer.ok()) << layer.error().ToString();
  EXPECT_EQ(layer->shapes[0].fault, "");
  EXPECT_THAT(layer->shapes[1].fault, HasSubstr("nowhere on the Earth"));
  EXPECT_EQ(layer->shapes[2].fault, "");
  EXPECT_NE(layer->shapes[3].fault, "");
}

TEST(ReadLayer, LatitudeBeforeLongitudeIsSuspectedWhereItWouldMakeDegreesOfThem) {
  WrittenLayer written = Lines("GeoJSON", "EPSG:4326");
  written.features = {{"LINESTRING (31.2 -97.5, 31.2 -97.499)", {"M-1", "6", "DIP"}}};
  const WrittenFile file("a.geojson");
  WriteLayer(file.path(), written);
  EXPECT_THAT(
      ReadLayer(file.path(), TableKind::kMains).error().ToString(),
      HasSubstr("'31.20 -97.50': the coordinates cannot be the degrees of WGS 84; they look like latitude "
                "before longitude"));
  const WrittenFile sheet("a.csv", "id,wkt\na,\"LINESTRING (31.2 -97.5, 31.2 -97.499)\"\n");
  EXPECT_THAT(ReadLayer(sheet.path(), TableKind::kMains).error().ToString(),
              HasSubstr("latitude before longitude"));
}

TEST(ReadLayer, APointAtNoughtAndNoughtHasNoPlace) {
  const WrittenFile file("a.geojson");
  WrittenLayer written = Lines("GeoJSON", "EPSG:4326");
  written.features = {{"POINT (0 0)", {"V-1"}}, {"POINT (-95.35 29.75)", {"V-2"}}};
  WriteLayer(file.path(), written);
  const auto layer = ReadLayer(file.path(), TableKind::kValves);
  ASSERT_TRUE(layer.ok()) << layer.error().ToString();
  EXPECT_EQ(layer->shapes[0].fault, "its coordinates are 0 and 0");
  EXPECT_EQ(layer->shapes[1].kind, ShapeKind::kPoint);
}

TEST(ReadLayer, ACommaIsTheDecimalMarkOfBothColumnsWhereOneOfThemTells) {
  const WrittenFile file("a.csv", "id;lon;lat\nv1;-97,501;31,2\nv2;-97,499;31,201\n");
  const auto layer = ReadLayer(file.path(), TableKind::kValves);
  ASSERT_TRUE(layer.ok()) << layer.error().ToString();
  EXPECT_NEAR(layer->shapes[1].parts[0][0][0].longitude_deg, -97.499, 1e-12);
  EXPECT_NEAR(layer->shapes[1].parts[0][0][0].latitude_deg, 31.201, 1e-12);
}

TEST(ReadLayer, OneStrayVertexCostsItsFeatureNotTheLayer) {
  const WrittenFile file("a.geojson");
  WrittenLayer written = Lines("GeoJSON", "EPSG:4326");
  written.features.push_back({"LINESTRING (0 0, 500 0)", {"M-3"}});
  WriteLayer(file.path(), written);
  const auto layer = ReadLayer(file.path(), TableKind::kMains);
  ASSERT_TRUE(layer.ok()) << layer.error().ToString();
  EXPECT_EQ(layer->shapes[1].kind, ShapeKind::kLine);
  EXPECT_THAT(layer->shapes[2].fault, HasSubstr("nowhere on the Earth"));
}

TEST(ReadLayer, OfSeveralLayersTakesTheOnlyOneThatFitsOrAsks) {
  const WrittenFile file("town.gpkg");
  WrittenLayer lines = Lines("GPKG", "EPSG:4326");
  lines.type = wkbLineString;
  WriteLayer(file.path(), lines);
  WrittenLayer points = {"GPKG",   "EPSG:4326", "valves", {{"id"}}, {{"POINT (-95.35 29.75)", {"V-1"}}},
                         wkbPoint, {}};
  WriteLayer(file.path(), points);
  const auto mains = ReadLayer(file.path(), TableKind::kMains);
  ASSERT_TRUE(mains.ok()) << mains.error().ToString();
  ExpectTheTwoLines(*mains);
  EXPECT_EQ(mains->key, "town.gpkg:mains");
  points.name = "hydrants";
  WriteLayer(file.path(), points);
  EXPECT_THAT(ReadLayer(file.path(), TableKind::kValves).error().ToString(),
              HasSubstr("name one with --layer: mains (lines), valves (points), hydrants (points)"));
  LayerOptions named;
  named.layer = "hydrants";
  EXPECT_EQ(ReadLayer(file.path(), TableKind::kHydrants, named)->key, "town.gpkg:hydrants");
  named.layer = "hydrant";
  EXPECT_EQ(ReadLayer(file.path(), TableKind::kHydrants, named).error().code, ErrorCode::kNotFound);
}

TEST(ReadLayer, SheetsHaveTheirPlacesInColumns) {
  const WrittenFile file("meters.csv",
                         "Meter list of June\nMeter No;Lat;Lon;Use (m3/month)\n"
                         "7;29,7500;-95,3500;12\n8;;;3\n9;0;0;4\n10;29,7501;95 W;4\n");
  const auto layer = ReadLayer(file.path(), TableKind::kServicePlaces);
  ASSERT_TRUE(layer.ok()) << layer.error().ToString();
  EXPECT_EQ(layer->shapes[0].parts[0][0][0], (Position{-95.35, 29.75}));
  EXPECT_EQ(layer->table.rows[0].line, 3);  // as the editor shows it
  EXPECT_EQ(layer->shapes[1].fault, "it has no coordinates");
  EXPECT_EQ(layer->shapes[2].fault, "its coordinates are 0 and 0");
  EXPECT_THAT(layer->shapes[3].fault, HasSubstr("'95 W'"));
  EXPECT_EQ(layer->place_from, "the columns Lon and Lat");
  EXPECT_TRUE(HoldsShapes(file.path(), TableKind::kServicePlaces));

  const WrittenFile sheet("services.csv", "Device,Services\nFP-1,3\n");
  EXPECT_FALSE(HoldsShapes(sheet.path(), TableKind::kServicePlaces));
  EXPECT_FALSE(HoldsShapes("no-such-file.gpkg", TableKind::kServicePlaces));
}

TEST(ReadLayer, WellKnownTextMayNameItsSystem) {
  const WrittenFile file("mains.csv",
                         "id,diameter,geom\n1,6,\"SRID=2278;LINESTRING(3120000 13840000,3120100 13840000)\"\n"
                         "2,6,LINE(0 0)\n");
  const auto layer = ReadLayer(file.path(), TableKind::kMains);
  ASSERT_TRUE(layer.ok()) << layer.error().ToString();
  EXPECT_NEAR(layer->shapes[0].parts[0][0][0].latitude_deg, 29.7, 0.5);
  EXPECT_THAT(layer->shapes[1].fault, HasSubstr("not well-known text"));
}

TEST(ReadLayer, WhatIsNoLayerIsNamedInOneLine) {
  EXPECT_EQ(ReadLayer("no-such.gpkg", TableKind::kMains).error().code, ErrorCode::kNotFound);
  const WrittenFile file("a.gpkg", "this is no database");
  EXPECT_THAT(ReadLayer(file.path(), TableKind::kMains).error().ToString(),
              HasSubstr("cannot be read as a map layer"));
}

TEST(ReadLayer, TakesLettersOfACodingNobodyNamedAsWindows1252) {
  const WrittenFile file("a.shp");
  WrittenLayer written = Lines("ESRI Shapefile", "EPSG:4326");
  written.features = {{kLines[0].wkt, {"M-1", "6", "M\xFChle"}}};
  written.options = {"ENCODING="};
  WriteLayer(file.path(), written);
  const auto layer = ReadLayer(file.path(), TableKind::kMains);
  ASSERT_TRUE(layer.ok()) << layer.error().ToString();
  EXPECT_EQ(Cell(*layer, 0, "material"), "M\xC3\xBChle");
}

TEST(ReadLayer, CodesOfADomainBecomeTheirDescriptions) {
  const WrittenFile file("a.gpkg");
  WriteLayer(file.path(), Lines("GPKG", "EPSG:4326"));
  {
    const GDALDatasetUniquePtr dataset(
        GDALDataset::Open(file.path().c_str(), GDAL_OF_VECTOR | GDAL_OF_UPDATE, nullptr, nullptr, nullptr));
    std::vector<OGRCodedValue> codes(2);
    codes[0].pszCode = CPLStrdup("DIP");
    codes[0].pszValue = CPLStrdup("ductile iron");
    codes[1].pszCode = CPLStrdup("PVC");
    codes[1].pszValue = CPLStrdup("plastic");
    std::string failure;
    ASSERT_TRUE(dataset->AddFieldDomain(
        std::make_unique<OGRCodedFieldDomain>("materials", "", OFTString, OFSTNone, std::move(codes)),
        failure))
        << failure;
    OGRLayer* layer = dataset->GetLayer(0);
    const int field = layer->GetLayerDefn()->GetFieldIndex("material");
    OGRFieldDefn changed(layer->GetLayerDefn()->GetFieldDefn(field));
    changed.SetDomainName("materials");
    ASSERT_EQ(layer->AlterFieldDefn(field, &changed, ALTER_DOMAIN_FLAG), OGRERR_NONE);
  }
  const auto layer = ReadLayer(file.path(), TableKind::kMains);
  ASSERT_TRUE(layer.ok()) << layer.error().ToString();
  EXPECT_EQ(Cell(*layer, 0, "material"), "ductile iron");
  EXPECT_EQ(Cell(*layer, 1, "material"), "plastic");
}

TEST(ReadLayer, SpreadsTagsThatFieldsAskFor) {
  const WrittenFile file("a.gpkg");
  WrittenLayer written = Lines("GPKG", "EPSG:4326");
  written.attributes = {{"osm_id"}, {"other_tags"}};
  written.features = {
      {kLines[0].wkt, {"1", R"("bridge"=>"yes","layer"=>"1","lit"=>"no","name"=>"A \"B\" Way")"}},
      {kLines[1].wkt, {"2", ""}}};
  WriteLayer(file.path(), written);
  const auto layer = ReadLayer(file.path(), TableKind::kMains);
  ASSERT_TRUE(layer.ok()) << layer.error().ToString();
  EXPECT_THAT(layer->table.headings, testing::ElementsAre("osm_id", "other_tags", "bridge", "layer", "name"));
  EXPECT_EQ(Cell(*layer, 0, "layer"), "1");
  EXPECT_EQ(Cell(*layer, 0, "name"), "A \"B\" Way");
  EXPECT_TRUE(ReadTags("\"a\"=>").empty());
  EXPECT_TRUE(ReadTags("\"a").empty());
}

TEST(ReadLayer, ReadsAZippedFileAndAWorkbook) {
  const WrittenFile inside("mains.shp");
  WriteLayer(inside.path(), Lines("ESRI Shapefile", "EPSG:2278"));
  const std::string folder = std::filesystem::path(inside.path()).parent_path().string();
  const std::string zip = folder + "/mains.zip";
  for (const char* ending : {"shp", "shx", "dbf", "prj"}) {
    const std::string from = folder + "/mains." + ending;
    VSILFILE* to = VSIFOpenL(("/vsizip/" + zip + "/mains." + ending).c_str(), "wb");
    ASSERT_NE(to, nullptr);
    std::ifstream file(from, std::ios::binary);
    const std::string bytes{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
    VSIFWriteL(bytes.data(), 1, bytes.size(), to);
    VSIFCloseL(to);
  }
  const auto zipped = ReadLayer(zip, TableKind::kMains);
  ASSERT_TRUE(zipped.ok()) << zipped.error().ToString();
  ExpectTheTwoLines(*zipped);

  const WrittenFile book("meters.xlsx");
  WriteLayer(book.path(), {"XLSX",
                           "",
                           "June",
                           {{"Meter"}, {"Lon", OFTReal}, {"Lat", OFTReal}, {"Use (gpd)", OFTReal}},
                           {{"", {"M-7", "-95.35", "29.75", "200"}}},
                           wkbNone,
                           {}});
  const auto sheet = ReadLayer(book.path(), TableKind::kServicePlaces);
  ASSERT_TRUE(sheet.ok()) << sheet.error().ToString();
  EXPECT_EQ(sheet->shapes[0].parts[0][0][0], (Position{-95.35, 29.75}));
}

TEST(WithoutPassword, LeavesTheRestOfTheConnection) {
  EXPECT_EQ(WithoutPassword("PG:dbname=town user=gis password=secret host=db"),
            "PG:dbname=town user=gis password=*** host=db");
  EXPECT_EQ(WithoutPassword("PG:dbname=town password='a b'"), "PG:dbname=town password=***");
  EXPECT_EQ(WithoutPassword("PG:postgresql://gis:secret@db/town"), "PG:postgresql://gis:***@db/town");
  EXPECT_EQ(WithoutPassword("mains.gpkg"), "mains.gpkg");
}

TEST(MiddleOf, IsTheCentroidOfTheOuterRing) {
  // An L of three unit squares: centroid (5/6, 5/6), by hand.
  const Shape area{ShapeKind::kArea, {{{{0, 0}, {2, 0}, {2, 1}, {1, 1}, {1, 2}, {0, 2}, {0, 0}}}}, ""};
  EXPECT_NEAR(MiddleOf(area).longitude_deg, 5.0 / 6, 1e-12);
  EXPECT_NEAR(MiddleOf(area).latitude_deg, 5.0 / 6, 1e-12);
  const Shape flat{ShapeKind::kArea, {{{{1, 1}, {3, 1}, {2, 1}}}}, ""};
  EXPECT_EQ(MiddleOf(flat), (Position{2, 1}));
}

}  // namespace
}  // namespace lastreach
