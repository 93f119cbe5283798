#include <filesystem>
#include <memory>
#include <ostream>
#include <sstream>

#include "app/demo_sheets.h"
#include "app/demo_year.h"
#include "app/import_elevation.h"
#include "app/import_layer.h"
#include "app/project_map.h"
#include "app/subcommands.h"
#include "store/project.h"
#include "town/town_layers.h"
#include "town/town_sheets.h"

namespace lastreach {
namespace {

// Timers and zones first: devices name them.
constexpr DemoSheet kSheets[] = {{"timers.csv", TableKind::kControllers},
                                 {"zones.csv", TableKind::kZones},
                                 {"devices.csv", TableKind::kDevices},
                                 {"ends.xlsx", TableKind::kPoints},
                                 {"limits.csv", TableKind::kLimits},
                                 {"settings.csv", TableKind::kSettings},
                                 {"samples.csv", TableKind::kSamples},
                                 {"reads.csv", TableKind::kReads},
                                 {"temperatures.csv", TableKind::kTemperatures},
                                 {"trips.csv", TableKind::kTrips},
                                 {"prices.csv", TableKind::kPrices}};

// The sewers stay out: they are the trap.
constexpr DemoSheet kLayers[] = {
    {"mains.shp", TableKind::kMains},         {"services.gpkg", TableKind::kServicePlaces},
    {"valves.geojson", TableKind::kValves},   {"hydrants.csv", TableKind::kHydrants},
    {"works.geojson", TableKind::kSources},   {"zones.gpkg", TableKind::kZoneAreas},
    {"elevation.tif", TableKind::kElevation},
};

// The day the town's sheets were handed over: the same on every machine, so that the project is too.
constexpr const char* kHandedOver = "2026-09-15T15:00:00Z";

constexpr const char* kTownName = "Invented town";

// The demo is made anew each time, but what stands in its place may be somebody's own project.
Status MakeWay(const std::string& file, const char* name, const char* handed_over) {
  if (!std::filesystem::exists(file)) return Ok();
  const auto project = Project::Open(file);
  const auto info = project.ok() ? project->Info() : Result<ProjectInfo>(project.error());
  if (!info.ok() || info->name != name || info->created != *ParseRfc3339(handed_over)) {
    return Conflict("there is a file here that is not the demo's; it was left as it is", {file, {}, "", ""});
  }
  return Ok();
}

void Remove(const std::string& file) {
  for (const char* tail : {"", "-wal", "-shm"}) {
    std::error_code ignored;
    std::filesystem::remove(file + tail, ignored);
  }
}

// The layers of the map, and the network of them.
Status TakeMap(Project& project, const std::string& folder, Instant when, Surroundings& around) {
  for (const DemoSheet& layer : kLayers) {
    LayerRequest request;
    request.table = folder + "/" + layer.name;
    request.kind = layer.kind;
    request.who = "town office";
    request.when = when;
    if (layer.kind == TableKind::kElevation) {
      std::ostringstream told;
      Surroundings quiet{told, around.err, false, when};
      if (const auto put = ImportElevation(project, request, quiet); !put.ok()) return put.error();
      around.out << "  " << layer.name << ": heights in\n";
      continue;
    }
    const auto report = ReadAndPutLayer(project, request);
    if (!report.ok()) return report.error();
    around.out << "  " << layer.name << ": " << report->result.rows_in << " features in, "
               << report->result.rejected.size() << " not\n";
  }
  const auto made = MakeNetwork(project);
  if (!made.ok()) return made.error();
  around.out << "The map is one network of " << made->network.links.size() << " links with "
             << made->joined.repairs_made << " repairs (lastreach map lists them).\n";
  return Ok();
}

Result<int> Demo(const std::string& folder, Surroundings& around) {
  const std::string sheets = folder + "/sheets";
  const std::string layers = folder + "/gis";
  const std::string file = folder + "/town.gpkg";
  const std::string year_sheets = folder + "/year";
  const std::string year_file = folder + "/year.gpkg";
  if (const Status way = MakeWay(file, kTownName, kHandedOver); !way.ok()) return way.error();
  if (const Status way = MakeWay(year_file, kDirtyYearName, kDirtyYearHandedOver); !way.ok())
    return way.error();
  if (const Status written = WriteTownSheets(sheets); !written.ok()) return written.error();
  if (const Status written = WriteTownLayers(layers); !written.ok()) return written.error();
  Remove(file);
  Remove(year_file);
  ProjectInfo info;
  info.name = kTownName;
  info.zone = "America/Chicago";
  info.created = *ParseRfc3339(kHandedOver);
  auto project = Project::Create(file, info);
  if (!project.ok()) return project.error();
  around.out << "The invented town's sheets are in " << sheets
             << " (README.txt says which trap sits where).\n"
             << "Its map is in " << layers << " (README.txt, FAULTS.csv).\n";
  for (const DemoSheet& sheet : kSheets) {
    const Status in = ImportDemoSheet(*project, sheets, sheet, info.created, around);
    if (!in.ok()) return in.error();
  }
  if (const Status drawn = TakeMap(*project, layers, info.created, around); !drawn.ok()) return drawn.error();
  if (const Status year = MakeDirtyYearDemo(year_sheets, year_file, around); !year.ok()) return year.error();
  around.out << "The projects are " << file << " and " << year_file << "; any GIS opens them. Next:\n"
             << "  lastreach ends " << file << "\n"
             << "  lastreach plan " << file << " --season summer-2027\n"
             << "  lastreach reconcile " << year_file << " --today 2025-09-04\n"
             << "  lastreach month " << year_file << " 2025-08\n";
  return 0;
}

}  // namespace

void AddDemoCommand(CLI::App& app, Surroundings& around, Action& action) {
  auto* command = app.add_subcommand(
      "demo", "Writes a made-up town: messy sheets, the layers of its map, a year of records, projects");
  const auto folder = std::make_shared<std::string>();
  command->add_option("DIR", *folder, "the folder to write into")->required();
  command->callback(
      [folder, &around, &action] { action = [folder, &around] { return Demo(*folder, around); }; });
}

}  // namespace lastreach
