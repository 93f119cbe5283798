#pragma once

#include <cmath>
#include <limits>
#include <string>
#include <vector>

#include "store/project_fixture.h"

namespace lastreach {

// Of everything on the map one that is filled in, and one that says only what it must.
inline DrawnMain FullMain() {
  DrawnMain main;
  main.key = {"mains.geojson", "29521:2"};
  main.line = {{-94.1234567890123, 38.1}, {-94.12, 38.1000001}, {-94.119, 38.2}};
  main.diameter = Sourced<Diameter>{Diameter::Inches(6), Typed("DIAMETER 6")};
  main.material = "AC";
  main.year_laid = 1962;
  main.street = "Elm 'Old' Street";
  main.zone = "High";
  main.written_length = Length::Feet(1234.5);
  main.status = MainStatus::kAbandoned;
  main.level = -1;
  return main;
}
inline DrawnMain BareMain() {
  DrawnMain main;
  main.key = {"mains.geojson", "1"};
  main.line = {{-94.2, 38.1}, {-94.1, 38.1}};
  return main;
}

inline DrawnThing FullThing() {
  return {{"tanks.csv", "T1"}, ThingKind::kTank, {-94.15, 38.15}, "Hilltop", "High", true, 312.25};
}

inline DrawnService FullService() {
  return {{"meters.gpkg", "77"},
          {-94.11, 38.12},
          "12 Elm St",
          3,
          Sourced<Flow>{Flow::GallonsPerDay(230), Typed("billed")}};
}

inline DrawnArea FullArea() {
  return {{"zones.shp", "2"},
          "High",
          {{{{-94.3, 38}, {-94, 38}, {-94, 38.3}, {-94.3, 38}},
            {{-94.1, 38.1}, {-94.09, 38.1}, {-94.09, 38.11}, {-94.1, 38.1}}},
           {{{-93.3, 38}, {-93, 38}, {-93, 38.3}, {-93.3, 38}}}}};
}

inline ElevationGrid FullGrid() {
  ElevationGrid grid;
  grid.name = "dem.tif";
  grid.crs_wkt = "LOCAL_CS[\"town grid\"]";
  const double placed[6] = {500000.5, 10, 0.125, 4200000.25, -0.125, -10};
  std::copy(placed, placed + 6, grid.geo_transform);
  grid.width = 3;
  grid.height = 2;
  grid.metres = {301.5F, 302, 303.25F, std::numeric_limits<float>::quiet_NaN(), -0.1F, 1e30F};
  return grid;
}

inline SetAside FullSetAside() {
  return {{"mains.geojson", "404"}, "it has no length", 0.25, Position{-94.1, 38.1}};
}

// Two nodes and a tank, a pipe and a pump and a limiting valve, everything filled in somewhere.
inline Network FullNetwork() {
  const Origin measured{OriginKind::kMeasured, "R. Ames", At("2026-07-01T12:00:00Z"), "levelled"};
  const Origin assumed{OriginKind::kAssumed, "neighbours", {}, ""};
  Network network;
  Node well;
  well.id = "N1";
  well.kind = NodeKind::kSource;
  well.elevation_m = {101.1, measured};
  well.head_m = 155.2;
  well.pattern = "day";
  well.chlorine_mg_per_l = 0.8;
  well.at = Position{-94.2, 38.1};
  Node tee;
  tee.id = "N2";
  tee.demand_m3_per_s = 1.0 / 3000;
  tee.xy_m = {12.5, -7.25};
  tee.at = Position{-94.1, 38.1};
  tee.zone = "High";
  tee.things = {{"hydrants.gpkg", "H9"}, {"valves.gpkg", "V1"}};
  tee.has_hydrant = true;
  tee.has_blow_off = true;
  tee.leak = Leak{0.003, 0.61};
  Node tank;
  tank.id = "N3";
  tank.kind = NodeKind::kTank;
  tank.tank = TankShape{12, 2.5, 0.5, 4, TankMixing::kFirstInFirstOut};
  network.nodes = {well, tee, tank};

  Link pipe;
  pipe.id = "P1";
  pipe.from = NodeIndex{0};
  pipe.to = NodeIndex{1};
  pipe.length_m = {8760.1, measured};
  pipe.inner_diameter_m = {1.0 / 7, assumed};
  pipe.roughness = {130, assumed};
  pipe.minor_loss = 0.3;
  pipe.bulk_per_day = -0.4;
  pipe.wall_m_per_day = -0.1;
  pipe.material = "PVC";
  pipe.material_assumed = true;
  pipe.year_laid = 1999;
  pipe.street = "Elm Street";
  pipe.zone = "High";
  pipe.main = FeatureKey{"mains.geojson", "1"};
  pipe.main_from_m = 5;
  pipe.main_to_m = 8765.1;
  pipe.line = {{-94.2, 38.1}, {-94.1, 38.1}};
  Link pump;
  pump.id = "U1";
  pump.kind = LinkKind::kPump;
  pump.from = NodeIndex{1};
  pump.to = NodeIndex{2};
  pump.pump = PumpCurve{60, 0.02, 45};
  Link limit = pump;
  limit.id = "L1";
  limit.kind = LinkKind::kLimiting;
  limit.pump.reset();
  limit.setting = 0.0125;
  Link reducing = limit;
  reducing.id = "L2";
  reducing.kind = LinkKind::kReducing;
  reducing.setting = 31.5;
  network.links = {pipe, pump, limit, reducing};
  network.connections = {{LinkIndex{0}, 120.5, 2, {1e-5, measured}, {"meters.gpkg", "77"}},
                         {LinkIndex{0}, 4000, 1, {2e-5, assumed}, {"meters.gpkg", "78"}}};
  network.patterns = {{"day", {0.5, 1.5, 1}}, {"flat", {1}}};
  network.runs = {{NodeIndex{1}, 2.5, 30, 0.004, {}, {}}, {NodeIndex{1}, 14.5, 30, {}, 0.05, 0.62}};
  network.options.head_loss = HeadLoss::kDarcyWeisbach;
  network.options.temperature_c = 11.5;
  network.options.short_pressure = ShortPressure{2.5, 1.0 / 0.06};
  network.rules = {{LinkIndex{1}, true, NodeIndex{2}, 1.0 / 3, {}, {}},
                   {LinkIndex{1}, false, NodeIndex{2}, {}, 3.75, {}},
                   {LinkIndex{2}, false, {}, {}, {}, 22.25}};
  return network;
}

inline Repair FullRepair() {
  return {"R0012",
          RepairKind::kEndToLine,
          {-94.11, 38.11},
          {-94.11001, 38.11001},
          {"mains.geojson", "1"},
          {"mains.geojson", "29521:2"},
          0.437,
          0.93,
          true,
          "the end is 0.4 m short of the only main near it",
          Decision::kLocked};
}

inline RepairDecision FullDecision() {
  const Repair repair = FullRepair();
  return {repair.kind,
          repair.at,
          repair.first,
          repair.second,
          Decision::kRefused,
          "R. Ames",
          At("2026-07-03T08:00:00Z"),
          "two zones; never joined"};
}

inline QuietPlace FullQuietPlace() {
  QuietPlace place;
  place.id = "E0007";
  place.kind = QuietKind::kStub;
  place.node = NodeIndex{1};
  place.at = {-94.1, 38.1};
  place.street = "Elm Street";
  place.zone = "High";
  place.reach = {{LinkIndex{0}, 8760.1, 4380.05, 2, 1e-5}, {LinkIndex{1}, 0, 0, 0, 0}};
  place.length_m = 4380.05;
  place.volume_m3 = 70.2;
  place.services = 2;
  place.services_beyond = 1;
  place.demand_m3_per_s = 3e-5;
  place.tail_m = 100;
  place.tail_m3 = 1.6;
  place.days_to_last_customer = 5.5;
  place.days_from_source = 7.25;
  place.fed_by = "6-in main in Elm Street, from tank Hilltop";
  place.outlet = "hydrant H9";
  place.notes = {"the last customer is 100 m before the end", "a valve \"V1\" stands there"};
  return place;
}

// A project with all of it.
inline void PutEverything(Project& project) {
  ASSERT_TRUE(project.PutMains("mains.geojson", {BareMain(), FullMain()}).ok());
  ASSERT_TRUE(project.PutThings("tanks.csv", ThingKind::kTank, {FullThing()}).ok());
  ASSERT_TRUE(project.PutServiceLayer("meters.gpkg", {FullService()}).ok());
  ASSERT_TRUE(project.PutAreas("zones.shp", {FullArea()}).ok());
  ASSERT_TRUE(project.PutElevation(FullGrid()).ok());
  SetAside nowhere = FullSetAside();
  nowhere.at.reset();
  ASSERT_TRUE(project.PutSetAside("mains.geojson", {FullSetAside(), nowhere}).ok());
  ASSERT_TRUE(project.PutNetwork(FullNetwork(), "map").ok());
  ASSERT_TRUE(project.PutRepairs({FullRepair()}).ok());
  ASSERT_TRUE(project.AddRepairDecision(FullDecision()).ok());
  ASSERT_TRUE(project.PutQuietPlaces({FullQuietPlace()}).ok());
}

}  // namespace lastreach
