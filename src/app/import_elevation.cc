#include "app/import_elevation.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <ostream>

#include "import/elevation.h"
#include "import/layer.h"

namespace lastreach {
namespace {

// The middle 99 % of the values and half their span on each side, but not beyond the values themselves.
std::pair<double, double> Extent(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  const auto at = [&](double part) {
    return values[static_cast<size_t>(std::lround(part * static_cast<double>(values.size() - 1)))];
  };
  const double span = at(0.995) - at(0.005);
  return {std::max(values.front(), at(0.005) - span / 2), std::min(values.back(), at(0.995) + span / 2)};
}

std::optional<Box> BoxOf(const std::vector<DrawnMain>& mains) {
  std::vector<double> longitudes_deg, latitudes_deg;
  for (const DrawnMain& main : mains) {
    for (const Position& at : main.line) {
      longitudes_deg.push_back(at.longitude_deg);
      latitudes_deg.push_back(at.latitude_deg);
    }
  }
  if (longitudes_deg.empty()) return std::nullopt;
  const auto [west, east] = Extent(std::move(longitudes_deg));
  const auto [south, north] = Extent(std::move(latitudes_deg));
  return Box{{west, south}, {east, north}};
}

void Print(const ImportedElevation& elevation, const LayerRequest& request, std::ostream& out) {
  const ElevationGrid& grid = elevation.grid;
  const double unknown_percent =
      100 - 100 * static_cast<double>(elevation.known) / static_cast<double>(grid.metres.size());
  if (request.json) {
    const nlohmann::ordered_json json = {{"file", WithoutPassword(request.table)},
                                         {"written", !request.preview_only},
                                         {"coordinate_system", elevation.crs},
                                         {"columns", grid.width},
                                         {"rows", grid.height},
                                         {"least_m", elevation.least_m},
                                         {"most_m", elevation.most_m},
                                         {"unknown_percent", unknown_percent},
                                         {"notes", elevation.notes}};
    out << json.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) << "\n";
    return;
  }
  out << WithoutPassword(request.table) << ": heights from " << std::lround(elevation.least_m) << " to "
      << std::lround(elevation.most_m) << " m on " << grid.width << " x " << grid.height << " cells in "
      << elevation.crs << ", " << std::lround(unknown_percent) << " % of them unknown; "
      << (request.preview_only ? "would come in" : "came in") << ".\n";
  for (const std::string& note : elevation.notes) out << "  " << note << "\n";
}

}  // namespace

Result<int> ImportElevation(Project& project, const LayerRequest& request, Surroundings& around) {
  ElevationOptions options;
  options.crs = request.crs;
  if (!request.units.empty()) {
    const auto unit = ParseHeightUnit(request.units);
    if (!unit.ok()) return BadRequest("--units: " + unit.error().message);
    options.unit = *unit;
  }
  const auto drawing = project.LoadDrawing();
  if (!drawing.ok()) return drawing.error();
  options.around = BoxOf(drawing->mains);
  const auto elevation = ReadElevation(request.table, options);
  if (!elevation.ok()) return elevation.error();
  if (!request.preview_only) {
    const Status kept = project.InTransaction([&]() -> Status {
      if (Status put = project.PutElevation(elevation->grid); !put.ok()) return put;
      const auto logged = project.LogImport({{},
                                             WithoutPassword(request.table),
                                             "elevation",
                                             request.when,
                                             request.who,
                                             elevation->grid.height,
                                             0},
                                            {});
      return logged.ok() ? Ok() : Status(logged.error());
    });
    if (!kept.ok()) return kept.error();
  }
  Print(*elevation, request, around.out);
  return 0;
}

}  // namespace lastreach
