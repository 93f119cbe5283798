#include "import/layer_features.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <algorithm>

#include "import/ground_length.h"
#include "import/layer_by_hand.h"
#include "import/layer_mapping.h"
#include "import/written_file.h"
#include "import/written_layer.h"

namespace lastreach {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

TEST(Mains, ComeInWithTheirAttributes) {
  const auto imported = Import(
      LayerOf({"FACILITYID", "DIAMETER", "MATERIAL", "INSTALLDATE", "Street Name", "PressureZone",
               "LIFECYCLESTATUS", "WATERTYPE", "BRIDGE"},
              {{"M-1", "6", "DIP", "1974-03-02T00:00:00", "Alder Way", "High", "Active", "Potable", "no"},
               {"M-2", "8", "PVC", "1999", "", "", "Abandoned", "Potable", "yes"},
               {"M-3", "12", "CAS", "", "", "", "Proposed", "Raw", ""},
               {"M-4", "12", "CAS", "", "", "", "Active", "Raw", ""}}),
      TableKind::kMains);
  ASSERT_TRUE(imported.ok()) << imported.error().ToString();
  ASSERT_EQ(imported->mains.size(), 4U);
  const DrawnMain& first = imported->mains[0];
  EXPECT_EQ(first.key, (FeatureKey{"town.gpkg", "M-1"}));
  EXPECT_NEAR(first.diameter->value.metres(), 6 * 0.0254, 1e-12);  // 1 in = 25.4 mm exactly, NIST SP 811
  EXPECT_EQ(first.material, "DIP");
  EXPECT_EQ(first.year_laid, 1974);
  EXPECT_EQ(first.street, "Alder Way");
  EXPECT_EQ(first.zone, "High");
  EXPECT_EQ(first.status, MainStatus::kInUse);
  EXPECT_EQ(first.level, 0);
  EXPECT_EQ(imported->mains[1].status, MainStatus::kAbandoned);
  EXPECT_EQ(imported->mains[1].level, 1);
  EXPECT_EQ(imported->mains[2].status, MainStatus::kProposed);
  EXPECT_EQ(imported->mains[3].status, MainStatus::kOtherWater);
  EXPECT_EQ(imported->rows_in, 4);
}

TEST(Mains, UnknownNumbersAreCountedByTheWordTheyAreWrittenWith) {
  const auto imported =
      Import(LayerOf({"id", "diameter", "material", "year"}, {{"1", "6", "UNK", "1974"},
                                                              {"2", "-9.99", "DIP", "0"},
                                                              {"3", "-9.99", "DIP", "9999"},
                                                              {"4", "", "DIP", "1974"},
                                                              {"5", "0", "DIP", "-1"},
                                                              {"6", "9999", "DIP", "1974"},
                                                              {"7", "N/A", "DIP", "1974"},
                                                              {"8", "8", "DIP", "UNKNOWN"}}),
             TableKind::kMains);
  ASSERT_TRUE(imported.ok()) << imported.error().ToString();
  EXPECT_THAT(imported->notes, Contains("diameter: 75 % unknown (-9.99 2, 0 1, 9999 1, N/A 1, blank 1)"));
  EXPECT_THAT(imported->notes, Contains("year: 50 % unknown (-1 1, 0 1, 9999 1, UNKNOWN 1)"));
  EXPECT_THAT(imported->notes, Contains("material: 12 % unknown (UNK 1)"));
  EXPECT_THAT(imported->left_out, IsEmpty());
  EXPECT_FALSE(imported->mains[1].diameter.has_value());
  EXPECT_TRUE(imported->mains[7].diameter.has_value());
}

TEST(Mains, WidthsOfSeveralWritingsInOneColumnAreEachReadByTheirOwnUnit) {
  const auto imported = Import(LayerOf({"id", "diameter", "material"}, {{"1", "6 in", " pvc "},
                                                                        {"2", "150mm", ""},
                                                                        {"3", "DN150", ""},
                                                                        {"4", "6\"", ""},
                                                                        {"5", "200", ""}}),
                               TableKind::kMains);
  ASSERT_TRUE(imported.ok()) << imported.error().ToString();
  ASSERT_EQ(imported->mains.size(), 5U);
  const double widths_m[] = {0.1524, 0.15, 0.15, 0.1524, 0.2};
  for (size_t i = 0; i < 5; ++i)
    EXPECT_NEAR(imported->mains[i].diameter->value.metres(), widths_m[i], 1e-12) << i;
  EXPECT_THAT(imported->left_out, IsEmpty());
}

TEST(Mains, ACellThatIsNoWidthIsListedWithTheRowAsWritten) {
  const auto imported =
      Import(LayerOf({"id", "diameter (in)", "material"}, {{"1", "6", "UNK"}, {"2", "wide", "UNK"}}),
             TableKind::kMains);
  ASSERT_TRUE(imported.ok()) << imported.error().ToString();
  ASSERT_EQ(imported->left_out.size(), 1U);
  EXPECT_EQ(imported->left_out[0].line, 2);
  EXPECT_EQ(imported->left_out[0].value, "wide");
  EXPECT_EQ(imported->left_out[0].original, "2 | wide | UNK");
  EXPECT_EQ(imported->mains.size(), 2U);
}

// Moments by hand: 1974-01-01 is 1461 days after 1970-01-01, 126230400 s.
TEST(Mains, YearsComeFromAnySortOfDate) {
  const auto years = [](const std::vector<std::string>& cells) {
    std::vector<std::vector<std::string>> rows;
    for (const std::string& cell : cells) rows.push_back({std::to_string(rows.size() + 1), cell});
    const auto imported = Import(LayerOf({"id", "installdate"}, rows), TableKind::kMains);
    EXPECT_TRUE(imported.ok());
    std::vector<int> read;
    for (const DrawnMain& main : imported->mains) read.push_back(main.year_laid.value_or(0));
    return read;
  };
  EXPECT_THAT(years({"126230400000", "126230399999", "-2208988800000", "-31536000000.0", "0"}),
              ElementsAre(1974, 1973, 0, 1969, 0));
  // Where unknown ones are blank and some are before it, 0 is the first moment of 1970.
  EXPECT_THAT(years({"126230400000", "-31536000000", "", "0"}), ElementsAre(1974, 1969, 0, 1970));
  EXPECT_THAT(years({"126230400", "126230399"}), ElementsAre(1974, 1973));
  EXPECT_THAT(years({"1974", "1974.0", "1974-03-02", "1974-03-02T00:00:00Z", "1974/03/02 00:00:00+00",
                     "3/2/1974", "19740302", "March 2, 1974"}),
              ElementsAre(1974, 1974, 1974, 1974, 1974, 1974, 1974, 1974));
  // Day 27030 of a spreadsheet is 1974-01-01: 46206 is 2026-07-03 (dates_test), less 19176 days.
  EXPECT_THAT(years({"27030", "27029", "1900-01-01", "soon", "1500"}), ElementsAre(1974, 1973, 0, 0, 0));
}

TEST(Mains, PartsOfAFeatureKeepTheirNumber) {
  std::vector<Shape> shapes = {Line({{0, 0}, {0.001, 0}}), Line({{0, 1}, {0.001, 1}})};
  shapes[0].parts.push_back({{{0.002, 0}, {0.003, 0}}});
  const auto imported = Import(
      LayerOf({"objectid", "length (m)"}, {{"29521", "222"}, {"29522", "111"}}, shapes), TableKind::kMains);
  ASSERT_TRUE(imported.ok()) << imported.error().ToString();
  EXPECT_THAT(KeysOf(*imported), ElementsAre("29521", "29521:2", "29522"));
  EXPECT_FALSE(imported->mains[0].written_length.has_value());  // it is of both parts
  EXPECT_NEAR(imported->mains[2].written_length->metres(), 111, 1e-9);
  EXPECT_EQ(imported->rows_in, 2);
}

TEST(Mains, LinesWithoutALengthAreSetAsideAndOnesWithoutAPlaceRejected) {
  const auto imported =
      Import(LayerOf({"id"}, {{"1"}, {"2"}, {"3"}, {"4"}},
                     {Line({{0, 0}, {0.001, 0}, {0.001, 0}, {0.002, 0}}), Line({{1, 1}, {1, 1}}),
                      Shape{ShapeKind::kNone, {}, "it has no geometry"}, Point(2, 2)}),
             TableKind::kMains);
  ASSERT_TRUE(imported.ok()) << imported.error().ToString();
  EXPECT_THAT(KeysOf(*imported), ElementsAre("1"));
  EXPECT_EQ(imported->mains[0].line, (std::vector<Position>{{0, 0}, {0.001, 0}, {0.002, 0}}));
  ASSERT_EQ(imported->set_aside.size(), 1U);
  EXPECT_EQ(imported->set_aside[0].key.key, "2");
  EXPECT_EQ(imported->set_aside[0].at, (Position{1, 1}));
  ASSERT_EQ(imported->rejected.size(), 2U);
  EXPECT_EQ(imported->rejected[0].reason, "it has no geometry");
  EXPECT_EQ(imported->rejected[1].reason, "it is drawn as a point, and mains are lines");
  EXPECT_EQ(imported->rows_in, 2);
}

TEST(Mains, GoByAnAttributeThatNumbersThemAllOrElseByTheirOwnNumbers) {
  const auto doubled = Import(LayerOf({"FacilityID", "OBJECTID"}, {{"A", "587"}, {"A", "595"}, {"", "596"}}),
                              TableKind::kMains);
  ASSERT_TRUE(doubled.ok()) << doubled.error().ToString();
  EXPECT_THAT(KeysOf(*doubled), ElementsAre("587", "595", "596"));
  EXPECT_THAT(doubled->notes, Contains(HasSubstr("so they go by 'OBJECTID'")));
  const auto none = Import(LayerOf({"id", "diameter (in)"}, {{"A", "6"}, {"A", "6"}}), TableKind::kMains);
  EXPECT_THAT(KeysOf(*none), ElementsAre("1", "2"));
  EXPECT_THAT(none->notes, Contains(HasSubstr("their own numbers")));
}

// 0.001 degrees at 30 N are 96.49 m: a cos(30) pi/180/1000 / sqrt(1 - e2 sin2(30)), by hand from WGS 84.
TEST(Mains, AWrittenLengthIsHeldAgainstTheDrawingToFindItsUnit) {
  const auto unit = [](const std::string& length) {
    const auto preview =
        MapLayer(LayerOf({"id", "st_length(shape)"}, {{"1", length}, {"2", length}}), TableKind::kMains);
    EXPECT_TRUE(preview.ok());
    return preview->Find("length") == nullptr ? "not read" : preview->Find("length")->unit->name;
  };
  EXPECT_EQ(unit("96.49"), "m");
  EXPECT_EQ(unit("316.6"), "ft");
  EXPECT_EQ(unit("0.09649"), "km");
  EXPECT_EQ(unit("0.001"), "not read");  // degrees
  EXPECT_EQ(unit("111.4"), "not read");  // stretched by a map's projection
}

// The quarter meridian of WGS 84 is 10 001 965.729 m and its equator's radius 6 378 137 m, both from memory.
TEST(GroundLength, IsThatOfTheEllipsoid) {
  std::vector<Position> meridian;
  for (int i = 0; i <= 9000; ++i) meridian.push_back({10, i / 100.0});
  EXPECT_NEAR(GroundLength_m(meridian), 10001965.729, 1);
  EXPECT_NEAR(GroundLength_m({{0, 0}, {0.01, 0}}), 6378137 * 3.14159265358979 / 18000, 1e-6);
}

TEST(Mains, CodesStandForWhatAColumnsFileSays) {
  const WrittenFile file(
      "columns.toml",
      "[columns]\nid = \"nr\"\n[values.material]\nDI = \"ductile iron\"\n\"\" = \"cast iron\"\n"
      "[values.diameter]\nA = \"150 mm\"\n7 = \"8 in\"\nZ = \"unknown\"\n"
      "[values.status]\n3 = \"abandoned\"\n");
  FeatureOptions options;
  const auto values = ReadValueMaps(file.path(), TableKind::kMains);
  ASSERT_TRUE(values.ok()) << values.error().ToString();
  options.values = *values;
  EXPECT_TRUE(ReadColumnsFile(file.path(), TableKind::kMains).ok());
  const auto imported = Import(
      LayerOf({"id", "material", "diameter", "status"},
              {{"1", "DI", "A", "1"}, {"2", "di", "7.0", "3.0"}, {"3", "", "Z", "1"}, {"4", "XX", "B", "1"}}),
      TableKind::kMains, options);
  ASSERT_TRUE(imported.ok()) << imported.error().ToString();
  EXPECT_EQ(imported->mains[0].material, "ductile iron");
  EXPECT_NEAR(imported->mains[0].diameter->value.millimetres(), 150, 1e-9);
  EXPECT_EQ(imported->mains[1].material, "ductile iron");
  EXPECT_NEAR(imported->mains[1].diameter->value.millimetres(), 203.2, 1e-9);
  EXPECT_EQ(imported->mains[1].status, MainStatus::kAbandoned);
  EXPECT_EQ(imported->mains[2].material, "cast iron");
  EXPECT_FALSE(imported->mains[2].diameter.has_value());
  EXPECT_EQ(imported->mains[3].material, "XX");
  ASSERT_EQ(imported->left_out.size(), 1U);
  EXPECT_EQ(imported->left_out[0].value, "B");
  EXPECT_THAT(imported->notes, Contains(HasSubstr("status '1' (3) is not understood and taken as in use")));
}

TEST(ReadValueMaps, NamesTheLineOfAFault) {
  const auto fault = [](const std::string& content) {
    const WrittenFile file("columns.toml", content);
    const auto values = ReadValueMaps(file.path(), TableKind::kMains);
    return values.ok() ? "no fault" : values.error().ToString();
  };
  EXPECT_EQ(fault("[columns]\nid = \"nr\"\n"), "no fault");
  EXPECT_THAT(fault("[values.colour]\nA = \"red\"\n"),
              HasSubstr("value 'values.colour': there is no such field"));
  EXPECT_THAT(fault("[values.diameter]\n\nA = \"wide\"\n"), HasSubstr("line 3"));
  EXPECT_THAT(fault("[values.diameter]\nA = \"6 gpm\"\n"), HasSubstr("with one of the units mm, in, cm"));
  EXPECT_THAT(fault("[values.material]\nA = 3\n"), HasSubstr("a text in quotes is wanted"));
}

TEST(Mains, MarkedNotActiveAreAbandonedUnlessNoneIsActive) {
  const auto some = Import(LayerOf({"id", "activeflag"}, {{"1", "1"}, {"2", "0"}}), TableKind::kMains);
  EXPECT_EQ(some->mains[0].status, MainStatus::kInUse);
  EXPECT_EQ(some->mains[1].status, MainStatus::kAbandoned);
  EXPECT_THAT(some->notes, Contains("1 feature not enabled or not active: taken as abandoned"));
  const auto none = Import(LayerOf({"id", "enabled"}, {{"1", "0"}, {"2", "0"}}), TableKind::kMains);
  EXPECT_EQ(none->mains[0].status, MainStatus::kInUse);
  EXPECT_THAT(none->notes, Contains("'enabled' says yes of no feature and is not read"));
}

TEST(Mains, ASewerLayerIsQuestionedWithItsEvidence) {
  Layer sewers = LayerOf(
      {"id", "material", "diameter (in)", "UPINVERT", "SLOPE"},
      {{"1", "VCP", "8", "101.2", "0.004"}, {"2", "RCP", "12", "99.0", "0.003"}, {"3", "PVC", "8", "", ""}});
  const auto asked = Import(sewers, TableKind::kMains);
  ASSERT_FALSE(asked.ok());
  EXPECT_EQ(asked.error().code, ErrorCode::kConflict);
  EXPECT_THAT(asked.error().message, HasSubstr("headings UPINVERT, SLOPE"));
  EXPECT_THAT(asked.error().message, HasSubstr("66 % of materials are RCP, VCP"));
  EXPECT_THAT(asked.error().message, HasSubstr("--certain"));
  FeatureOptions certain;
  certain.certain = true;
  EXPECT_EQ(Import(sewers, TableKind::kMains, certain)->mains.size(), 3U);

  Layer named = LayerOf({"id", "material"}, {{"1", "PVC"}});
  named.table.sheet = "Sanitary_Sewer_Lines";
  EXPECT_THAT(Import(named, TableKind::kMains).error().message, HasSubstr("its name has 'sewer'"));
  named.table.sheet = "Storm_damaged_Water_Mains";
  EXPECT_TRUE(Import(named, TableKind::kMains).ok());

  const auto typed =
      Import(LayerOf({"id", "type"}, {{"1", "Gravity Main"}, {"2", "Force Main"}}), TableKind::kMains);
  EXPECT_THAT(typed.error().message, HasSubstr("100 % of 'type' is Force Main, Gravity Main"));
}

TEST(Mains, SewersAmongWaterMainsAreToldApartRowByRow) {
  const auto imported = Import(LayerOf({"id", "system", "material"}, {{"1", "Water", "DIP"},
                                                                      {"2", "Sanitary", "VCP"},
                                                                      {"3", "Storm", "RCP"},
                                                                      {"4", "Reclaimed", "PVC"},
                                                                      {"5", "Potable", "PVC"}}),
                               TableKind::kMains);
  ASSERT_TRUE(imported.ok()) << imported.error().ToString();
  std::vector<MainStatus> statuses;
  for (const DrawnMain& main : imported->mains) statuses.push_back(main.status);
  using enum MainStatus;
  EXPECT_THAT(statuses, ElementsAre(kInUse, kOtherWater, kOtherWater, kOtherWater, kInUse));
  EXPECT_THAT(imported->notes,
              Contains("1 feature that are sewers or drains ('Sanitary'): not part of this network"));
}

TEST(ImportFeatures, AsksWhenTheShapesAreNotThoseOfTheKind) {
  const Layer points = LayerOf({"id"}, {{"1"}}, {Point(0, 0)});
  EXPECT_THAT(Import(points, TableKind::kMains).error().ToString(),
              HasSubstr("the layer shows points, and mains are lines; it may be valves, hydrants"));
  const Layer lines = LayerOf({"id"}, {{"1"}});
  EXPECT_THAT(Import(lines, TableKind::kValves).error().ToString(),
              HasSubstr("shows lines, and valves are points"));
  EXPECT_THAT(Import(lines, TableKind::kZoneAreas).error().ToString(), HasSubstr("zone areas are areas"));
}

TEST(Mains, AreKnownByHeadingsThatAShapefileCutToTenLetters) {
  const auto preview =
      MapLayer(LayerOf({"FACILITYID", "PIPEDIAMET", "PIPE_MATER", "INSTALLDAT", "LIFECYCLES", "PRESSUREZO"},
                       {{"1", "6", "DIP", "1974", "Active", "High"}}),
               TableKind::kMains);
  ASSERT_TRUE(preview.ok()) << preview.error().ToString();
  EXPECT_THAT(preview->unused_headings, IsEmpty());
  EXPECT_EQ(preview->Find("diameter")->heading, "PIPEDIAMET");
  EXPECT_EQ(preview->Find("material")->heading, "PIPE_MATER");
  EXPECT_EQ(preview->Find("status")->heading, "LIFECYCLES");
  EXPECT_EQ(preview->Find("zone")->heading, "PRESSUREZO");
}

bool Same(const DrawnMain& a, const DrawnMain& b) {
  return a.key == b.key && a.line == b.line && a.diameter == b.diameter && a.material == b.material &&
         a.year_laid == b.year_laid && a.street == b.street && a.zone == b.zone &&
         a.written_length == b.written_length && a.status == b.status && a.level == b.level;
}

TEST(MainsProperty, NeitherTheOrderOfAttributesNorTheCaseOfHeadingsMatters) {
  const bool holds = rc::check("attributes shuffled", [] {
    const std::vector<std::string> headings = {"facilityid",  "diameter",  "material",
                                               "installdate", "street",    "zone",
                                               "status",      "watertype", "st_length.shape."};
    const std::vector<std::vector<std::string>> rows = {
        {"M-1", "6", "DIP", "126230400000", "Elm St", "High", "Active", "Potable", "316"},
        {"M-2", "8", "UNK", "-2208988800000", "", "Low", "Abandoned", "Potable", "317"},
        {"M-3", "-9.99", "", "31536000000", "Oak St", "", "Active", "Raw", "316"}};
    const auto base = Import(LayerOf(headings, rows), TableKind::kMains);
    RC_ASSERT(base.ok());
    std::vector<size_t> order(headings.size());
    for (size_t i = 0; i < order.size(); ++i) order[i] = i;
    for (size_t i = order.size() - 1; i > 0; --i)
      std::swap(order[i], order[*rc::gen::inRange<size_t>(0, i + 1)]);
    std::vector<std::string> shuffled;
    std::vector<std::vector<std::string>> shuffled_rows(rows.size());
    for (const size_t from : order) {
      std::string heading = headings[from];
      for (char& c : heading) {
        if (*rc::gen::arbitrary<bool>()) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
      }
      shuffled.push_back(heading);
      for (size_t i = 0; i < rows.size(); ++i) shuffled_rows[i].push_back(rows[i][from]);
    }
    const auto other = Import(LayerOf(shuffled, shuffled_rows), TableKind::kMains);
    RC_ASSERT(other.ok());
    RC_ASSERT(other->mains.size() == base->mains.size());
    for (size_t i = 0; i < base->mains.size(); ++i) RC_ASSERT(Same(base->mains[i], other->mains[i]));
    RC_ASSERT(other->notes.size() == base->notes.size());
  });
  EXPECT_TRUE(holds);
}

// From file to drawing, in every format: the same mains.
TEST(ImportFeatures, GivesTheSameMainsFromEveryFormat) {
  std::vector<DrawnMain> first;
  for (const auto& [driver, name, crs] : std::vector<std::tuple<std::string, std::string, std::string>>{
           {"GPKG", "a.gpkg", "EPSG:4326"},
           {"ESRI Shapefile", "b.shp", "EPSG:2278"},
           {"GeoJSON", "c.geojson", "EPSG:4326"},
           {"FlatGeobuf", "d.fgb", "EPSG:2278"},
           {"CSV", "e.csv", "EPSG:4326"}}) {
    WrittenLayer written{
        driver,
        crs,
        "pipes",
        {{"id"}, {"diameter", OFTReal}, {"material"}, {"instdate", OFTInteger64}},
        {{"LINESTRING (-95.35 29.75, -95.349 29.7502)", {"M-1", "6", "DIP", "126230400000"}},
         {"LINESTRING (-95.349 29.7502, -95.347 29.751)", {"M-2", "-9.99", "", "946684800000"}}},
        wkbLineString,
        {}};
    if (driver == "CSV") written.options = {"GEOMETRY=AS_WKT"};
    const WrittenFile file(name);
    WriteLayer(file.path(), written);
    const auto layer = ReadLayer(file.path(), TableKind::kMains);
    ASSERT_TRUE(layer.ok()) << layer.error().ToString();
    const auto imported = Import(*layer, TableKind::kMains);
    ASSERT_TRUE(imported.ok()) << imported.error().ToString();
    std::vector<DrawnMain> mains = imported->mains;
    std::sort(mains.begin(), mains.end(), [](const auto& a, const auto& b) { return a.key < b.key; });
    ASSERT_EQ(mains.size(), 2U) << driver;
    if (first.empty()) first = mains;
    for (size_t i = 0; i < 2; ++i) {
      EXPECT_EQ(mains[i].key.key, first[i].key.key);
      EXPECT_EQ(mains[i].diameter.has_value(), first[i].diameter.has_value());
      EXPECT_EQ(mains[i].material, first[i].material);
      EXPECT_EQ(mains[i].year_laid, i == 0 ? 1974 : 2000) << driver;
      // 1e-8 degrees are 1.1 mm.
      EXPECT_NEAR(mains[i].line[1].longitude_deg, first[i].line[1].longitude_deg, 9e-9);
      EXPECT_NEAR(mains[i].line[1].latitude_deg, first[i].line[1].latitude_deg, 9e-9);
    }
  }
}

}  // namespace
}  // namespace lastreach
