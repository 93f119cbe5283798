#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <bit>

#include "store/database.h"
#include "store/map_fixture.h"

namespace lastreach {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

TEST_F(ProjectFile, TheDrawingReadsBackAsItWasPut) {
  Project project = New();
  PutEverything(project);
  const Drawing drawing = *project.LoadDrawing();
  EXPECT_THAT(drawing.mains, ElementsAre(BareMain(), FullMain()));
  EXPECT_THAT(drawing.things, ElementsAre(FullThing()));
  EXPECT_THAT(drawing.services, ElementsAre(FullService()));
  EXPECT_THAT(drawing.areas, ElementsAre(FullArea()));
  SetAside nowhere = FullSetAside();
  nowhere.at.reset();
  EXPECT_THAT(*project.ImportSetAside(), ElementsAre(FullSetAside(), nowhere));
}

TEST_F(ProjectFile, ANewProjectHasAnEmptyMap) {
  const Project project = New();
  const Drawing drawing = *project.LoadDrawing();
  EXPECT_TRUE(drawing.mains.empty() && drawing.things.empty() && drawing.services.empty() &&
              drawing.areas.empty() && drawing.elevations.empty());
  EXPECT_THAT(*project.ImportSetAside(), IsEmpty());
}

TEST_F(ProjectFile, ALayerThatComesAgainReplacesItselfAndNoOther) {
  Project project = New();
  DrawnMain other = BareMain();
  other.key.layer = "north.shp";
  ASSERT_TRUE(project.PutMains("mains.geojson", {BareMain(), FullMain()}).ok());
  ASSERT_TRUE(project.PutMains("north.shp", {other}).ok());
  ASSERT_TRUE(project.PutMains("mains.geojson", {FullMain()}).ok());
  EXPECT_THAT(project.LoadDrawing()->mains, ElementsAre(other, FullMain()));
  ASSERT_TRUE(project.PutMains("north.shp", {}).ok());
  EXPECT_THAT(project.LoadDrawing()->mains, ElementsAre(FullMain()));
}

TEST_F(ProjectFile, OneLayerMayBringThingsOfSeveralKinds) {
  Project project = New();
  DrawnThing pump = FullThing();
  pump.kind = ThingKind::kPump;
  ASSERT_TRUE(project.PutThings("tanks.csv", ThingKind::kTank, {FullThing()}).ok());
  ASSERT_TRUE(project.PutThings("tanks.csv", ThingKind::kPump, {pump}).ok());
  ASSERT_TRUE(project.PutThings("tanks.csv", ThingKind::kTank, {}).ok());
  EXPECT_THAT(project.LoadDrawing()->things, ElementsAre(pump));
}

TEST_F(ProjectFile, WhatCannotBeDrawnIsRefusedByNameAndTheOldLayerStays) {
  Project project = New();
  PutEverything(project);
  DrawnMain dot = BareMain();
  dot.line.resize(1);
  EXPECT_THAT(project.PutMains("mains.geojson", {FullMain(), dot}).error().ToString(),
              HasSubstr("mains.geojson, column feature, value '1': a main needs two points"));
  EXPECT_THAT(project.PutMains("south.shp", {FullMain()}).error().ToString(), HasSubstr("'29521:2'"));
  EXPECT_THAT(project.PutThings("tanks.csv", ThingKind::kPump, {FullThing()}).error().ToString(),
              HasSubstr("a tank stands in a list of the kind pump"));
  DrawnArea open = FullArea();
  open.polygons[1][0].resize(3);
  EXPECT_EQ(project.PutAreas("zones.shp", {open}).error().code, ErrorCode::kBadInput);
  open.polygons.clear();
  EXPECT_EQ(project.PutAreas("zones.shp", {open}).error().code, ErrorCode::kBadInput);
  ElevationGrid torn = FullGrid();
  torn.metres.pop_back();
  EXPECT_EQ(project.PutElevation(torn).error().code, ErrorCode::kBadInput);
  EXPECT_THAT(project.LoadDrawing()->mains, ElementsAre(BareMain(), FullMain()));
  EXPECT_EQ(project.LoadDrawing()->elevations.size(), 1U);
}

// NaN is not equal to itself, so heights are held against each other bit by bit.
void ExpectSameGrid(const ElevationGrid& read, const ElevationGrid& put) {
  EXPECT_EQ(read.name, put.name);
  EXPECT_EQ(read.crs_wkt, put.crs_wkt);
  EXPECT_THAT(read.geo_transform, testing::ElementsAreArray(put.geo_transform));
  EXPECT_EQ(read.width, put.width);
  EXPECT_EQ(read.height, put.height);
  ASSERT_EQ(read.metres.size(), put.metres.size());
  for (size_t i = 0; i < put.metres.size(); ++i) {
    ASSERT_EQ(std::bit_cast<uint32_t>(read.metres[i]), std::bit_cast<uint32_t>(put.metres[i])) << i;
  }
}

TEST_F(ProjectFile, HeightsReadBackBitByBitInOneStripAndInMany) {
  Project project = New();
  ElevationGrid wide = FullGrid();
  wide.name = "wide.tif";
  wide.width = 1000;
  wide.height = 1000;  // 4 MB: several strips, the last one short
  wide.metres.clear();
  for (int i = 0; i < wide.width * wide.height; ++i) wide.metres.push_back(static_cast<float>(i) / 7);
  ASSERT_TRUE(project.PutElevation(FullGrid()).ok());
  ASSERT_TRUE(project.PutElevation(wide).ok());
  const Drawing drawing = *project.LoadDrawing();
  ASSERT_EQ(drawing.elevations.size(), 2U);
  ExpectSameGrid(drawing.elevations[0], FullGrid());
  ExpectSameGrid(drawing.elevations[1], wide);
  const auto raw = Database::Open(Path(), 100);
  EXPECT_GT(**(*raw)->QueryInt("SELECT count(*) FROM elevation_strips WHERE grid = 2"), 2);
}

TEST_F(ProjectFile, AGridThatComesAgainIsLookedAtFirst) {
  Project project = New();
  ElevationGrid other = FullGrid();
  other.name = "coarse.tif";
  ASSERT_TRUE(project.PutElevation(FullGrid()).ok());
  ASSERT_TRUE(project.PutElevation(other).ok());
  ElevationGrid better = FullGrid();
  better.metres[0] = 1;
  ASSERT_TRUE(project.PutElevation(better).ok());
  const Drawing drawing = *project.LoadDrawing();
  ASSERT_EQ(drawing.elevations.size(), 2U);
  ExpectSameGrid(drawing.elevations[0], other);
  ExpectSameGrid(drawing.elevations[1], better);
}

TEST_F(ProjectFile, AGridThatHasLostAStripIsRefused) {
  {
    Project project = New();
    ASSERT_TRUE(project.PutElevation(FullGrid()).ok());
  }
  ASSERT_TRUE((*Database::Open(Path(), 100))->RunScript("DELETE FROM elevation_strips").ok());
  EXPECT_THAT(Project::Open(Path())->LoadDrawing().error().ToString(), HasSubstr("'dem.tif'"));
}

// A GIS zooms to the box the list of contents claims.
TEST_F(ProjectFile, TheBoxOfALayerFollowsItsFeatures) {
  Project project = New();
  DrawnMain far = BareMain();
  far.key.layer = "far.shp";
  far.line = {{10, 50}, {11, 51}};
  const auto box = [&] {
    std::vector<double> sides;
    EXPECT_TRUE((*Database::Open(Path(), 100))
                    ->Query("SELECT * FROM gpkg_contents WHERE table_name = 'mains'", {},
                            [&](const Row& row) -> Status {
                              for (const char* side : {"min_x", "min_y", "max_x", "max_y"}) {
                                if (!row.IsNull(side)) sides.push_back(row.Number(side));
                              }
                              return Ok();
                            })
                    .ok());
    return sides;
  };
  EXPECT_THAT(box(), IsEmpty());
  ASSERT_TRUE(project.PutMains("mains.geojson", {BareMain()}).ok());
  ASSERT_TRUE(project.PutMains("far.shp", {far}).ok());
  EXPECT_THAT(box(), ElementsAre(-94.2, 38.1, 11, 51));
  ASSERT_TRUE(project.PutMains("far.shp", {}).ok());
  EXPECT_THAT(box(), ElementsAre(-94.2, 38.1, -94.1, 38.1));
  ASSERT_TRUE(project.PutMains("mains.geojson", {}).ok());
  EXPECT_THAT(box(), IsEmpty());
}

DrawnMain AnyMain() {
  DrawnMain main = BareMain();
  main.key.key = *rc::gen::arbitrary<std::string>();
  main.line.clear();
  for (int i = *rc::gen::inRange(2, 12); i-- > 0;) {
    main.line.push_back({*rc::gen::inRange(-180000000, 180000001) / 1e6,
                         *rc::gen::inRange(-90000000, 90000001) / 1e6 + 1e-14});
  }
  if (*rc::gen::arbitrary<bool>()) {
    main.diameter = Sourced<Diameter>{Diameter::Millimetres(*rc::gen::inRange(1, 30000) / 10.0),
                                      {*rc::gen::element(OriginKind::kTyped, OriginKind::kAssumed),
                                       *rc::gen::arbitrary<std::string>(),
                                       {},
                                       *rc::gen::arbitrary<std::string>()}};
  }
  main.material = *rc::gen::arbitrary<std::string>();
  if (*rc::gen::arbitrary<bool>()) main.year_laid = *rc::gen::inRange(1800, 2030);
  main.street = *rc::gen::arbitrary<std::string>();
  if (*rc::gen::arbitrary<bool>()) main.written_length = Length::Metres(*rc::gen::inRange(0, 9999999) / 7.0);
  main.status = *rc::gen::element(MainStatus::kInUse, MainStatus::kAbandoned, MainStatus::kProposed,
                                  MainStatus::kOtherWater);
  main.level = *rc::gen::inRange(-5, 6);
  return main;
}

TEST_F(ProjectFile, AnyMainsReadBackAsTheyWerePut) {
  Project project = New();
  EXPECT_TRUE(rc::check([&] {
    std::vector<DrawnMain> mains(*rc::gen::inRange<size_t>(0, 5));
    for (DrawnMain& main : mains) main = AnyMain();
    RC_ASSERT(project.PutMains("mains.geojson", mains).ok());
    RC_ASSERT(project.LoadDrawing()->mains == mains);
  }));
}

// The size of a large town: many pages, several transactions' worth.
TEST_F(ProjectFile, AHundredThousandMainsComeBackAsTheyWere) {
  Project project = New();
  std::vector<DrawnMain> mains(100000, FullMain());
  for (size_t i = 0; i < mains.size(); ++i) {
    mains[i].key.key = std::to_string(i);
    mains[i].line.assign(10, {});
    for (size_t j = 0; j < 10; ++j) {
      mains[i].line[j] = {-94 + 1e-6 * static_cast<double>(i), 38 + 1e-4 * static_cast<double>(j)};
    }
  }
  ASSERT_TRUE(project.PutMains("mains.geojson", mains).ok());
  EXPECT_TRUE(project.LoadDrawing()->mains == mains);
}

}  // namespace
}  // namespace lastreach
