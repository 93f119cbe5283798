#include "town/town_layers.h"

#include <gtest/gtest.h>

#include <fstream>
#include <set>
#include <sstream>

#include "core/quantity.h"
#include "town/hand_ends_sheet.h"
#include "town/houses.h"
#include "town/test_layers.h"
#include "town/town_ends.h"
#include "town/true_network.h"

namespace lastreach {
namespace {

using TownLayers = WrittenLayers;

double Length_m(const ReadFeature& feature) {
  return OGR_G_Length(OGRGeometry::ToHandle(feature.shape.get()));
}

std::string Bytes(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream bytes;
  bytes << file.rdbuf();
  return bytes.str();
}

// The main nearest to a point; far ones are passed over by their boxes.
const ReadFeature* NearestMain(const std::vector<ReadFeature>& mains, const OGRGeometry& point) {
  constexpr double kReach_m = 40;
  const OGRPoint& at = *point.toPoint();
  const ReadFeature* nearest = nullptr;
  double least_m = kReach_m;
  for (const ReadFeature& main : mains) {
    if (at.getX() < main.box.MinX - kReach_m || at.getX() > main.box.MaxX + kReach_m) continue;
    if (at.getY() < main.box.MinY - kReach_m || at.getY() > main.box.MaxY + kReach_m) continue;
    const double away_m = main.shape->Distance(&at);
    if (away_m >= least_m) continue;
    least_m = away_m;
    nearest = &main;
  }
  return nearest;
}

TEST_F(TownLayers, AreTheSameToTheByteTwice) {
  const std::string again = folder_ + "-again";
  ASSERT_TRUE(WriteTownLayers(again).ok());
  ASSERT_TRUE(WriteTownLayers(again).ok());  // over what is there
  std::set<std::string> names, names_again;
  for (const auto& file : std::filesystem::directory_iterator(folder_)) {
    names.insert(file.path().filename());
    EXPECT_TRUE(Bytes(file.path()) == Bytes(again + "/" + file.path().filename().string())) << file.path();
  }
  for (const auto& file : std::filesystem::directory_iterator(again))
    names_again.insert(file.path().filename());
  EXPECT_EQ(names, names_again);
  EXPECT_EQ(names.size(), 13U);
  std::filesystem::remove_all(again);
}

TEST_F(TownLayers, AFolderThatCannotBeMadeIsNamed) {
  const Status written = WriteTownLayers(Path("README.txt"));
  ASSERT_FALSE(written.ok());
  EXPECT_EQ(written.error().code, ErrorCode::kBadInput);
  EXPECT_EQ(written.error().place.file, Path("README.txt"));
}

TEST_F(TownLayers, MainsAreInFeetOfAStatePlaneAndAsLongAsTheTruth) {
  GDALDatasetUniquePtr file(GDALDataset::Open(Path("mains.shp").c_str(), GDAL_OF_VECTOR));
  ASSERT_TRUE(file);
  const OGRSpatialReference* system = file->GetLayer(0)->GetSpatialRef();
  ASSERT_NE(system, nullptr);
  // A US survey foot is 1200/3937 m. SOURCE: NIST SP 811 (2008), Appendix B.6, from memory.
  EXPECT_NEAR(system->GetLinearUnits(), 1200.0 / 3937, 1e-9);
  double drawn_m = 0, true_m = 0;
  for (const ReadFeature& main : Read("mains.shp")) {
    if (main.cells.at("MAIN_ID") != "W-9999") drawn_m += Length_m(main);
  }
  EXPECT_GT(drawn_m, 170e3);
  EXPECT_LT(drawn_m, 190e3);
  double stray_m = 0;
  for (const ReadFeature& fault : Read("FAULTS.csv")) {
    const std::string& kind = fault.cells.at("kind");
    if (kind == "doubled line" || kind == "main given up" || kind == "main of raw water")
      stray_m += std::stod(fault.cells.at("size_m"));
  }
  for (const TruePipe& pipe : TheTrueNetwork().pipes) true_m += pipe.to_m - pipe.from_m;
  // UTM is 4 in 10,000 short, the town's own degrees 1 in 1,000; ends fall short by some 30 m in all.
  EXPECT_NEAR(drawn_m - stray_m, true_m, 0.0015 * true_m);
}

TEST_F(TownLayers, WrittenLengthsAreFeetOfTheDrawnLine) {
  for (const ReadFeature& main : Read("mains.shp")) {
    const double written_m = Length::Feet(std::stod(main.cells.at("LENGTH_FT"))).metres();
    if (main.cells.at("MAIN_ID") != "W-9999") {
      EXPECT_NEAR(Length_m(main), written_m, 0.002 * written_m + 0.05) << main.cells.at("MAIN_ID");
    }
  }
}

TEST_F(TownLayers, DatesAreMillisecondsThatFallInThePastCentury) {
  int dated = 0;
  for (const ReadFeature& main : Read("mains.shp")) {
    if (main.cells.at("LAID").empty()) continue;
    ++dated;
    // Julian years of 365.25 days.
    const double year = 1970 + std::stod(main.cells.at("LAID")) / 1000 / 86400 / 365.25;
    EXPECT_TRUE(year > 1935 && year < 2026) << main.cells.at("MAIN_ID");
    EXPECT_NEAR(year - static_cast<int>(year), 0.455, 0.01);  // the middle of June
  }
  EXPECT_GT(dated, 700);
}

TEST_F(TownLayers, ServicesOfEveryFlushedStreetAreThoseOfItsSheetButForThree) {
  const std::vector<ReadFeature> mains = Read("mains.shp");
  std::map<std::string, int> services;
  int all = 0;
  for (const ReadFeature& service : Read("services.gpkg")) {
    const ReadFeature* main = NearestMain(mains, *service.shape);
    ASSERT_NE(main, nullptr) << service.cells.at("address");
    EXPECT_LT(main->shape->Distance(service.shape.get()), 15.1) << service.cells.at("address");
    ++services[main->cells.at("STREET")];
    ++all;
  }
  EXPECT_GT(all, 5000);
  EXPECT_LT(all, 6000);
  int otherwise = 0;
  for (const std::vector<TownEnd>& ends : {Devices(), HandEnds()}) {
    for (const TownEnd& end : ends) {
      EXPECT_EQ(services[end.street], end.services + HousesTheSheetsMiss(end.code)) << end.code;
      otherwise += HousesTheSheetsMiss(end.code) != 0 ? 1 : 0;
    }
  }
  EXPECT_EQ(otherwise, 3);
}

TEST_F(TownLayers, SomeStubsServeNobody) {
  std::set<size_t> served;
  for (const House& house : Houses()) served.insert(house.street);
  int stubs = 0;
  for (size_t i = 0; i < StreetPlan().size(); ++i) {
    const StreetKind kind = StreetPlan()[i].kind;
    if (kind == StreetKind::kCulDeSac && served.count(i) == 0) ++stubs;
    if (kind == StreetKind::kTransmission) {
      EXPECT_EQ(served.count(i), 0U) << StreetPlan()[i].name;
    }
  }
  EXPECT_GE(stubs, 6);
  EXPECT_LE(stubs, 12);
}

TEST_F(TownLayers, OneInTenServicesHasNoUseAndTheRestDrawWhatTheZonesSheetSays) {
  double kgal = 0;
  int read = 0, blank = 0;
  for (const ReadFeature& service : Read("services.gpkg")) {
    const std::string& use = service.cells.at("use_kgal_per_month");
    use.empty() ? ++blank : ++read;
    kgal += use.empty() ? 0 : std::stod(use);
  }
  EXPECT_NEAR(1.0 * blank / (blank + read), 0.1, 0.015);
  // zones.csv: 180 gal/day in Millrace, about 160 in High Tank.
  const double gal_per_day = 1000 * kgal / read * 12 / 365;
  EXPECT_GT(gal_per_day, 160);
  EXPECT_LT(gal_per_day, 180);
}

TEST_F(TownLayers, EveryServiceHasThirtyToSeventyMetresOfPressureAtRest) {
  GDALDatasetUniquePtr file(GDALDataset::Open(Path("elevation.tif").c_str(), GDAL_OF_RASTER));
  ASSERT_TRUE(file);
  double transform[6] = {};
  ASSERT_EQ(file->GetGeoTransform(transform), CE_None);
  const std::vector<ReadFeature> zones = Read("zones.gpkg");
  ASSERT_EQ(zones.size(), 2U);
  for (const ReadFeature& service : Read("services.gpkg")) {
    const OGRPoint& at = *service.shape->toPoint();
    float ground_m = 0;
    ASSERT_EQ(
        file->GetRasterBand(1)->RasterIO(GF_Read, static_cast<int>((at.getX() - transform[0]) / transform[1]),
                                         static_cast<int>((at.getY() - transform[3]) / transform[5]), 1, 1,
                                         &ground_m, 1, 1, GDT_Float32, 0, 0, nullptr),
        CE_None);
    const bool lower = zones[0].shape->Contains(&at);
    ASSERT_NE(lower, static_cast<bool>(zones[1].shape->Contains(&at))) << service.cells.at("address");
    const double pressure_m = (lower ? kPlantHead_m : kTankHead_m) - ground_m;
    EXPECT_TRUE(pressure_m > 30 && pressure_m < 70) << pressure_m << " " << service.cells.at("address");
  }
}

TEST_F(TownLayers, WhatStandsAtAFlushPointStandsOnTheEndOfItsMain) {
  std::map<std::string, const ReadFeature*> by_id;
  const std::vector<ReadFeature> hydrants = Read("hydrants.csv"), mains = Read("mains.shp");
  for (const ReadFeature& hydrant : hydrants) by_id[hydrant.cells.at("Hydrant")] = &hydrant;
  EXPECT_EQ(by_id.size(), hydrants.size());
  const std::vector<std::string> outlets = HandEndOutlets();
  for (size_t i = 0; i < HandEnds().size(); ++i)
    EXPECT_EQ(by_id.at(HandEnds()[i].code)->cells.at("Kind"), outlets[i]);
  for (const std::vector<TownEnd>& ends : {Devices(), HandEnds()}) {
    for (const TownEnd& end : ends) {
      const OGRGeometry& at = *by_id.at(end.code)->shape;
      const ReadFeature* main = NearestMain(mains, at);
      ASSERT_NE(main, nullptr) << end.code;
      EXPECT_EQ(main->cells.at("STREET"), end.street);
      const std::unique_ptr<OGRGeometry> both_ends(main->shape->Boundary());
      // Seven digits of a degree are a centimetre.
      EXPECT_LT(both_ends->Distance(&at), 0.02) << end.code;
    }
  }
}

TEST_F(TownLayers, ValvesStandOnMainsAndThoseBetweenTheWatersAreClosed) {
  const std::vector<ReadFeature> mains = Read("mains.shp");
  int closed = 0;
  for (const ReadFeature& valve : Read("valves.geojson")) {
    const ReadFeature* main = NearestMain(mains, *valve.shape);
    ASSERT_NE(main, nullptr);
    // Off the line by at most 15 cm, but where the end of that line falls short of it.
    EXPECT_LT(main->shape->Distance(valve.shape.get()), 2.2) << valve.cells.at("valve_id");
    closed += valve.cells.at("state") == "closed" ? 1 : 0;
  }
  EXPECT_EQ(closed, static_cast<int>(BoundaryValves().size()) + 1);
}

TEST_F(TownLayers, SewersLieBesideTheMainsWithInvertsThatFallAndLieUnderground) {
  const std::vector<ReadFeature> sewers = Read("sewers.geojson"), mains = Read("mains.shp");
  EXPECT_GT(sewers.size(), 100U);
  for (const ReadFeature& sewer : sewers) {
    const double up_m = Length::Feet(std::stod(sewer.cells.at("up_invert_ft"))).metres();
    EXPECT_GT(std::stod(sewer.cells.at("up_invert_ft")), std::stod(sewer.cells.at("down_invert_ft")));
    EXPECT_TRUE(up_m > 600 && up_m < 640) << up_m;
    OGRPoint start;
    sewer.shape->toLineString()->StartPoint(&start);
    const ReadFeature* main = NearestMain(mains, start);
    ASSERT_NE(main, nullptr) << sewer.cells.at("sewer_id");
    // Nearer where the street bends towards it.
    EXPECT_TRUE(main->shape->Distance(&start) > 1 && main->shape->Distance(&start) < 3.5)
        << sewer.cells.at("sewer_id");
  }
}

TEST_F(TownLayers, WorksAreTwoSourcesAPumpAndATank) {
  std::multiset<std::string> kinds;
  for (const ReadFeature& work : Read("works.geojson")) kinds.insert(work.cells.at("kind"));
  EXPECT_EQ(kinds, (std::multiset<std::string>{"pump", "source", "source", "tank"}));
}

}  // namespace
}  // namespace lastreach
