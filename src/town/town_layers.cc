#include "town/town_layers.h"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>

#include "core/quantity.h"
#include "town/gis_files.h"
#include "town/gis_readme.h"
#include "town/houses.h"
#include "town/map_lines.h"
#include "town/map_points.h"
#include "town/sheet_text.h"
#include "town/town_ends.h"
#include "town/town_ground.h"
#include "town/town_lines.h"
#include "town/true_network.h"

namespace lastreach {
namespace {

constexpr int kStatePlaneFeet = 26852;  // NAD83 / Nebraska, US survey feet
constexpr int kUtm14North = 32614;
constexpr double kDaysPerMonth = 365.0 / 12;

GisPoint Degrees(TownPoint point) {
  const TownPosition position = PositionOf(point);
  return {position.longitude_deg, position.latitude_deg};
}

GisLine Degrees(const std::vector<TownPoint>& line) {
  GisLine degrees;
  for (const TownPoint point : line) degrees.push_back(Degrees(point));
  return degrees;
}

double Rounded(double value, double step) { return std::round(value / step) * step; }

GisLayer MainsLayer(const MainsAsDrawn& drawn) {
  GisLayer layer{"mains", GisShape::kLine, kStatePlaneFeet, {}, {}};
  layer.fields = {
      {"MAIN_ID", GisField::kText},  {"STREET", GisField::kText},   {"ZONE", GisField::kText},
      {"DIAM_IN", GisField::kText},  {"MATERIAL", GisField::kText}, {"STATUS", GisField::kText},
      {"CONTENTS", GisField::kText}, {"LAID", GisField::kWhole},    {"LENGTH_FT", GisField::kNumber}};
  for (const MapLine& line : drawn.lines) {
    GisFeature feature;
    double length_m = 0;
    for (const std::vector<TownPoint>& part : line.parts) {
      feature.parts.push_back(Degrees(part));
      length_m += LineLength_m(part);
    }
    feature.values = {line.id,       line.street,   line.zone,
                      line.diameter, line.material, line.status,
                      line.contents, GisValue(),    Rounded(Length::Metres(length_m).feet(), 0.1)};
    if (line.laid_ms) feature.values[7] = *line.laid_ms;
    layer.features.push_back(feature);
  }
  return layer;
}

// A sketch somebody left near the origin of the layer's system, hundreds of kilometres from the town.
constexpr GisPoint kFarFrom_ft = {100, 200}, kFarTo_ft = {400, 600};
constexpr const char* kFarId = "W-9999";

GisFeature FarAwayLine() {
  GisFeature far;
  far.parts = {{FromSystem(kStatePlaneFeet, kFarFrom_ft), FromSystem(kStatePlaneFeet, kFarTo_ft)}};
  far.values = {std::string(kFarId),
                std::string(""),
                std::string(""),
                std::string("8"),
                std::string("PVC"),
                std::string("active"),
                std::string("drinking water"),
                GisValue(),
                500.0};
  return far;
}

GisLayer ServicesLayer() {
  GisLayer layer{"services", GisShape::kPoint, 4326, {}, {}};
  layer.fields = {
      {"account", GisField::kText}, {"address", GisField::kText}, {"use_kgal_per_month", GisField::kNumber}};
  int number = 10000;
  for (const House& house : Houses()) {
    GisFeature feature{{{Degrees(house.at)}}, {std::to_string(number += 7), house.address, GisValue()}};
    if (house.use_gal_per_day)
      feature.values[2] = Rounded(*house.use_gal_per_day * kDaysPerMonth / 1000, 0.01);
    layer.features.push_back(feature);
  }
  return layer;
}

GisLayer ValvesLayer(const std::vector<MapValve>& valves) {
  GisLayer layer{"valves", GisShape::kPoint, 4326, {}, {}};
  layer.fields = {{"valve_id", GisField::kText},
                  {"street", GisField::kText},
                  {"diameter_in", GisField::kNumber},
                  {"state", GisField::kText}};
  for (const MapValve& valve : valves)
    layer.features.push_back(
        {{{Degrees(valve.at)}}, {valve.id, valve.street, valve.diameter_in, valve.state}});
  return layer;
}

GisLayer SewersLayer() {
  GisLayer layer{"sewers", GisShape::kLine, 4326, {}, {}};
  layer.fields = {{"sewer_id", GisField::kText},       {"street", GisField::kText},
                  {"diameter_in", GisField::kNumber},  {"material", GisField::kText},
                  {"up_invert_ft", GisField::kNumber}, {"down_invert_ft", GisField::kNumber}};
  for (const MapSewer& sewer : DrawSewers()) {
    layer.features.push_back({{Degrees(sewer.line)},
                              {sewer.id, sewer.street, 8.0, std::string("clay"),
                               Rounded(sewer.up_invert_ft, 0.01), Rounded(sewer.down_invert_ft, 0.01)}});
  }
  return layer;
}

GisLayer WorksLayer() {
  GisLayer layer{"works", GisShape::kPoint, 4326, {}, {}};
  layer.fields = {{"name", GisField::kText},
                  {"kind", GisField::kText},
                  {"zone", GisField::kText},
                  {"elevation_m", GisField::kNumber},
                  {"head_m", GisField::kNumber},
                  {"diameter_m", GisField::kNumber},
                  {"level_m", GisField::kNumber},
                  {"min_level_m", GisField::kNumber},
                  {"max_level_m", GisField::kNumber},
                  {"shutoff_head_m", GisField::kNumber},
                  {"design_flow_l_per_s", GisField::kNumber},
                  {"design_head_m", GisField::kNumber}};
  const std::vector<const char*> kinds = {"source", "source", "pump", "tank"};
  const std::vector<TownWork> works = Works();
  for (size_t i = 0; i < works.size(); ++i) {
    GisFeature feature{{{Degrees(works[i].at)}}, std::vector<GisValue>(layer.fields.size())};
    const std::string kind = kinds[i];
    feature.values[0] = works[i].name;
    feature.values[1] = kind;
    feature.values[2] = std::string(i == 0 ? kMillrace : kHighTank);
    feature.values[3] = Rounded(kind == "tank" ? kTankBowl_m : GroundAt_m(works[i].at), 0.1);
    if (kind != "pump") feature.values[4] = works[i].head_m;
    const std::vector<double> tank = {14, kTankHead_m - kTankBowl_m, 1, 8}, pump = {52, 40, 40};
    for (size_t j = 0; j < tank.size() && kind == "tank"; ++j) feature.values[5 + j] = tank[j];
    for (size_t j = 0; j < pump.size() && kind == "pump"; ++j) feature.values[9 + j] = pump[j];
    layer.features.push_back(feature);
  }
  return layer;
}

GisLayer ZonesLayer() {
  GisLayer layer{"zones", GisShape::kPolygon, kUtm14North, {}, {}};
  layer.fields = {{"zone", GisField::kText}, {"water", GisField::kText}};
  const std::vector<TownPoint> lower = {{20, 120},   {700, 120},           {4500, 120},
                                        {4590, 900}, {4590, kRailway_y_m}, {20, kRailway_y_m}};
  const std::vector<TownPoint> upper = {{20, kRailway_y_m}, {4590, kRailway_y_m}, {4590, 4700},
                                        {3900, 5150},       {600, 5150},          {20, 4900}};
  layer.features.push_back({{Degrees(lower)}, {std::string(kMillrace), std::string("free chlorine")}});
  layer.features.push_back({{Degrees(upper)}, {std::string(kHighTank), std::string("chloramine")}});
  return layer;
}

// The grid of UTM is turned a little against the town's, so each cell's place in the town is worked out.
GisGrid Elevations() {
  constexpr double kCell_m = 30, kMargin_m = 120;
  GisGrid grid;
  grid.epsg = kUtm14North;
  grid.cell_m = kCell_m;
  const GisPoint south_west = ToSystem(kUtm14North, Degrees(TownPoint{0, 0}));
  const GisPoint south_east = ToSystem(kUtm14North, Degrees(TownPoint{kTownWidth_m, 0}));
  const GisPoint north_west = ToSystem(kUtm14North, Degrees(TownPoint{0, kTownHeight_m}));
  const TownPoint origin = {south_west.longitude_deg, south_west.latitude_deg};
  const TownPoint east =
      1 / kTownWidth_m * (TownPoint{south_east.longitude_deg, south_east.latitude_deg} - origin);
  const TownPoint north =
      1 / kTownHeight_m * (TownPoint{north_west.longitude_deg, north_west.latitude_deg} - origin);
  const double turn = east.x_m * north.y_m - east.y_m * north.x_m;
  const double skew_m = std::abs(east.y_m) * kTownWidth_m + std::abs(north.x_m) * kTownHeight_m;
  grid.west_m = Rounded(origin.x_m - kMargin_m - skew_m, kCell_m);
  grid.north_m = Rounded(north_west.latitude_deg + kMargin_m + skew_m, kCell_m);
  grid.width = static_cast<int>((kTownWidth_m + 2 * (kMargin_m + skew_m)) / kCell_m);
  grid.height = static_cast<int>((kTownHeight_m + 2 * (kMargin_m + skew_m)) / kCell_m);
  for (int row = 0; row < grid.height; ++row) {
    for (int column = 0; column < grid.width; ++column) {
      const TownPoint from =
          TownPoint{grid.west_m + (column + 0.5) * kCell_m, grid.north_m - (row + 0.5) * kCell_m} - origin;
      const TownPoint in_town = {(from.x_m * north.y_m - from.y_m * north.x_m) / turn,
                                 (east.x_m * from.y_m - east.y_m * from.x_m) / turn};
      grid.metres.push_back(static_cast<float>(Rounded(GroundAt_m(in_town), 0.01)));
    }
  }
  return grid;
}

std::string HydrantsText() {
  std::vector<SheetRow> rows = {{"Hydrant", "Kind", "Street", "Longitude", "Latitude"}};
  for (const MapHydrant& hydrant : DrawHydrants()) {
    const GisPoint at = Degrees(hydrant.at);
    rows.push_back(
        {hydrant.id, hydrant.kind, hydrant.street, Digits(at.longitude_deg, 7), Digits(at.latitude_deg, 7)});
  }
  return CsvText(rows);
}

// What the devices' and the binder's sheets count otherwise than the map.
void ListMiscounts(std::vector<MapFault>& faults) {
  for (const std::vector<TownEnd>& ends : {Devices(), HandEnds()}) {
    for (const TownEnd& end : ends) {
      const int more = HousesTheSheetsMiss(end.code);
      if (more == 0) continue;
      faults.push_back(
          {"services counted otherwise", "services", end.code, StreetOf(end).line.back(), 0,
           "map " + std::to_string(end.services + more) + ", sheet " + std::to_string(end.services)});
    }
  }
}

std::string FaultsText(const std::vector<MapFault>& faults) {
  std::vector<SheetRow> rows = {{"kind", "layer", "feature", "longitude", "latitude", "size_m", "note"}};
  for (const MapFault& fault : faults) {
    const GisPoint at = Degrees(fault.at);
    rows.push_back({fault.kind, fault.layer, fault.id, Digits(at.longitude_deg, 7),
                    Digits(at.latitude_deg, 7), Digits(fault.size_m, 3), fault.note});
  }
  const GisPoint far = FromSystem(kStatePlaneFeet, kFarFrom_ft);
  const double far_m = Length::Feet(Length_m({kFarTo_ft.longitude_deg - kFarFrom_ft.longitude_deg,
                                              kFarTo_ft.latitude_deg - kFarFrom_ft.latitude_deg}))
                           .metres();
  rows.push_back({"line far from the town", "mains", kFarId, Digits(far.longitude_deg, 7),
                  Digits(far.latitude_deg, 7), Digits(far_m, 3), ""});
  return CsvText(rows);
}

Status WriteText(const std::filesystem::path& path, const std::string& text) {
  std::ofstream file(path, std::ios::binary);
  file << text;
  file.close();
  if (!file) return BadInput("the layer cannot be written", {path.string(), {}, "", ""});
  return Ok();
}

}  // namespace

Status WriteTownLayers(const std::string& folder) {
  const std::filesystem::path to(folder);
  std::error_code failed;
  std::filesystem::create_directories(to, failed);
  if (failed) return BadInput("the folder cannot be made: " + failed.message(), {folder, {}, "", ""});
  MainsAsDrawn mains = DrawMains();
  const std::vector<MapValve> valves = DrawValves(mains.faults);
  ListMiscounts(mains.faults);
  GisLayer mains_layer = MainsLayer(mains);
  mains_layer.features.push_back(FarAwayLine());
  const std::tuple<const char*, GisFormat, GisLayer> layers[] = {
      {"mains.shp", GisFormat::kShapefile, mains_layer},
      {"services.gpkg", GisFormat::kGeoPackage, ServicesLayer()},
      {"valves.geojson", GisFormat::kGeoJson, ValvesLayer(valves)},
      {"works.geojson", GisFormat::kGeoJson, WorksLayer()},
      {"sewers.geojson", GisFormat::kGeoJson, SewersLayer()},
      {"zones.gpkg", GisFormat::kGeoPackage, ZonesLayer()},
  };
  for (const auto& [name, format, layer] : layers) {
    if (Status written = WriteGisLayer((to / name).string(), format, layer); !written.ok()) return written;
  }
  if (Status written = WriteGisGrid((to / "elevation.tif").string(), Elevations()); !written.ok())
    return written;
  const std::pair<const char*, std::string> texts[] = {{"hydrants.csv", HydrantsText()},
                                                       {"FAULTS.csv", FaultsText(mains.faults)},
                                                       {"README.txt", GisReadme(mains.faults)}};
  for (const auto& [name, text] : texts) {
    if (Status written = WriteText(to / name, text); !written.ok()) return written;
  }
  return Ok();
}

}  // namespace lastreach
