#include "town/town_layers.h"

#include <filesystem>

#include "town/gis_files.h"
#include "town/gis_readme.h"
#include "town/houses.h"
#include "town/layer_contents.h"
#include "town/sheet_text.h"
#include "town/town_ends.h"

namespace lastreach {
namespace {

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
  const MapFault fault = FarAwayFault();
  rows.push_back({fault.kind, fault.layer, fault.id, Digits(FarAwayPlace().longitude_deg, 7),
                  Digits(FarAwayPlace().latitude_deg, 7), Digits(fault.size_m, 3), fault.note});
  return CsvText(rows);
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
  const std::tuple<const char*, GisFormat, GisLayer> layers[] = {
      {"mains.shp", GisFormat::kShapefile, MainsLayer(mains)},
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
    if (Status written = WriteText((to / name).string(), text); !written.ok()) return written;
  }
  return Ok();
}

}  // namespace lastreach
