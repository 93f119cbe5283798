#include "import/elevation.h"

#include <cpl_error.h>
#include <gdal_priv.h>
#include <ogr_spatialref.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <limits>
#include <memory>

#include "core/quantity.h"
#include "import/cell_words.h"
#include "import/layer_source.h"

namespace lastreach {
namespace {

constexpr double kMargin_m = 500;
// SOURCE: NIST SP 811 (2008), Appendix B: the U.S. survey foot is 1200/3937 m.
constexpr double kMetresPerSurveyFoot = 1200.0 / 3937;

double MetresEach(HeightUnit unit) {
  switch (unit) {
    case HeightUnit::kMetre:
      return 1;
    case HeightUnit::kFoot:
      return kMetresPerFoot;
    case HeightUnit::kSurveyFoot:
      return kMetresPerSurveyFoot;
  }
  return 1;
}

std::string NameOf(HeightUnit unit) {
  switch (unit) {
    case HeightUnit::kMetre:
      return "metres";
    case HeightUnit::kFoot:
      return "feet";
    case HeightUnit::kSurveyFoot:
      return "US survey feet";
  }
  return "metres";
}

std::optional<HeightUnit> UnitFrom(std::string_view text) {
  const std::string plain = Plainly(text);
  for (const char* word : {"m", "metre", "metres", "meter", "meters"}) {
    if (plain == word) return HeightUnit::kMetre;
  }
  for (const char* word : {"ft", "feet", "foot", "international foot"}) {
    if (plain == word) return HeightUnit::kFoot;
  }
  for (const char* word : {"survey ft", "us survey foot", "us survey feet", "survey foot", "survey feet",
                           "us ft", "ftus", "us ft survey", "foot us", "foot us survey", "sft"}) {
    if (plain == word) return HeightUnit::kSurveyFoot;
  }
  return std::nullopt;
}

HeightUnit UnitOf(GDALRasterBand& band, const OGRSpatialReference& crs, const ElevationOptions& options,
                  std::vector<std::string>& notes) {
  if (options.unit) return *options.unit;
  const std::string said = band.GetUnitType();
  if (const auto unit = UnitFrom(said)) {
    notes.push_back("heights are in " + NameOf(*unit) + ", as the raster says");
    return *unit;
  }
  if (crs.IsCompound() != 0) {
    const char* name = nullptr;
    crs.GetTargetLinearUnits("VERT_CS", &name);
    if (const auto unit = name == nullptr ? std::nullopt : UnitFrom(name)) {
      notes.push_back("heights are in " + NameOf(*unit) + ", as the vertical coordinate system says");
      return *unit;
    }
  }
  notes.push_back((said.empty() ? "the raster does not say in which unit its heights are"
                                : "the raster's unit '" + said + "' is not known") +
                  std::string(": taken as metres; say --units ft if they are feet"));
  return HeightUnit::kMetre;
}

// Columns and rows to keep.
struct Window {
  int column = 0;
  int row = 0;
  int width = 0;
  int height = 0;
  double cells() const { return static_cast<double>(width) * height; }
};

// The window of the raster that holds a box in degrees and the margin; none if they do not meet.
std::optional<Window> WindowAround(const Box& box, const OGRSpatialReference& crs, double (&to_ground)[6],
                                   int width, int height) {
  OGRSpatialReference degrees;
  degrees.SetWellKnownGeogCS("WGS84");
  degrees.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
  const std::unique_ptr<OGRCoordinateTransformation> to(OGRCreateCoordinateTransformation(&degrees, &crs));
  double to_cells[6];
  if (to == nullptr || GDALInvGeoTransform(to_ground, to_cells) == 0) return std::nullopt;
  constexpr double kMetresPerDegree = 111320;
  const double north = kMargin_m / kMetresPerDegree;
  const double middle = (box.south_west.latitude_deg + box.north_east.latitude_deg) / 2;
  const double east = north / std::max(0.01, std::cos(middle * 3.14159265358979 / 180));
  double least[2] = {HUGE_VAL, HUGE_VAL};
  double most[2] = {-HUGE_VAL, -HUGE_VAL};
  // Edges bend in another projection, so points along them are looked at, not only the corners.
  constexpr int kSteps = 20;
  for (int i = 0; i <= kSteps; ++i) {
    for (int j = 0; j <= kSteps; ++j) {
      const auto between = [](double a, double b, int step) { return a + (b - a) * step / kSteps; };
      double x = between(box.south_west.longitude_deg - east, box.north_east.longitude_deg + east, i);
      double y = between(box.south_west.latitude_deg - north, box.north_east.latitude_deg + north, j);
      if (!to->Transform(1, &x, &y)) continue;
      const double cell[2] = {to_cells[0] + x * to_cells[1] + y * to_cells[2],
                              to_cells[3] + x * to_cells[4] + y * to_cells[5]};
      for (int k = 0; k < 2; ++k) {
        least[k] = std::min(least[k], cell[k]);
        most[k] = std::max(most[k], cell[k]);
      }
    }
  }
  const auto held = [](double value, int size) {
    return static_cast<int>(std::clamp<double>(value, 0, size));
  };
  Window window{held(std::floor(least[0]), width), held(std::floor(least[1]), height), 0, 0};
  window.width = held(std::ceil(most[0]), width) - window.column;
  window.height = held(std::ceil(most[1]), height) - window.row;
  if (!(least[0] <= most[0]) || window.width <= 0 || window.height <= 0) return std::nullopt;
  return window;
}

// Heights of the window in metres.
bool ReadHeights(GDALRasterBand& band, const Window& window, double metres_each, ImportedElevation& to) {
  int has_no_data = 0;
  const double no_data = band.GetNoDataValue(&has_no_data);
  const double scale = band.GetScale();
  const double offset = band.GetOffset();
  std::vector<double> line(static_cast<size_t>(window.width));
  to.grid.metres.reserve(static_cast<size_t>(window.cells()));
  to.least_m = HUGE_VAL;
  to.most_m = -HUGE_VAL;
  for (int row = 0; row < window.height; ++row) {
    if (band.RasterIO(GF_Read, window.column, window.row + row, window.width, 1, line.data(), window.width, 1,
                      GDT_Float64, 0, 0, nullptr) != CE_None) {
      return false;
    }
    for (const double value : line) {
      const bool known =
          std::isfinite(value) && !(has_no_data != 0 && value == no_data) && std::abs(value) < 1e30;
      if (!known) {
        to.grid.metres.push_back(std::numeric_limits<float>::quiet_NaN());
        continue;
      }
      const double height_m = (value * scale + offset) * metres_each;
      to.grid.metres.push_back(static_cast<float>(height_m));
      to.least_m = std::min(to.least_m, height_m);
      to.most_m = std::max(to.most_m, height_m);
      ++to.known;
    }
  }
  return true;
}

Result<OGRSpatialReference> CrsOf(const GDALDataset& raster, const std::string& file,
                                  const std::string& given) {
  OGRSpatialReference crs;
  if (!given.empty()) {
    if (crs.SetFromUserInput(given.c_str()) != OGRERR_NONE)
      return BadRequest("--crs: '" + given + "' is no coordinate system; EPSG:2278 is one");
  } else if (const OGRSpatialReference* own = raster.GetSpatialRef()) {
    crs = *own;
  } else {
    return BadInput("the raster says no coordinate system; give it with --crs EPSG:2278 or the like",
                    {file, {}, "", ""});
  }
  crs.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
  return crs;
}

Result<Window> ChooseWindow(GDALDataset& raster, const std::string& file, const OGRSpatialReference& crs,
                            const ElevationOptions& options, double (&to_ground)[6]) {
  Window window{0, 0, raster.GetRasterXSize(), raster.GetRasterYSize()};
  if (options.around) {
    const auto around = WindowAround(*options.around, crs, to_ground, window.width, window.height);
    if (!around) {
      return BadInput("the raster does not reach the mains of the project; is it of another place?",
                      {file, {}, "", ""});
    }
    window = *around;
  }
  if (window.cells() <= kMostCells) return window;
  char cells[32];
  std::snprintf(cells, sizeof cells, "%.0f million", window.cells() / 1e6);
  return BadInput(std::string("the raster has more than 60 million cells") +
                      (options.around ? " round the mains; bring in a coarser one"
                                      : "; bring the mains in first, and it is cropped to them"),
                  {file, {}, "", cells});
}

}  // namespace

Result<HeightUnit> ParseHeightUnit(std::string_view text) {
  if (const auto unit = UnitFrom(text)) return *unit;
  return BadRequest("the unit of heights is m, ft or survey ft, not '" + std::string(text) + "'");
}

Result<ImportedElevation> ReadElevation(const std::string& path, const ElevationOptions& options) {
  const Quietly quietly;
  const auto openable = OpenablePath(path);
  if (!openable.ok()) return openable.error();
  const std::string file = WithoutPassword(path);
  GDALAllRegister();
  const GDALDatasetUniquePtr raster(
      GDALDataset::Open(openable->c_str(), GDAL_OF_RASTER | GDAL_OF_READONLY, nullptr, nullptr, nullptr));
  if (raster == nullptr || raster->GetRasterCount() == 0)
    return BadInput("this cannot be read as a raster of heights", {file, {}, "", ""});
  ImportedElevation to;
  to.grid.name = std::filesystem::path(path).filename().string();
  if (raster->GetGeoTransform(to.grid.geo_transform) != CE_None)
    return BadInput("the raster does not say where on the map it lies", {file, {}, "", ""});
  const auto crs = CrsOf(*raster, file, options.crs);
  if (!crs.ok()) return crs.error();
  const auto window = ChooseWindow(*raster, file, *crs, options, to.grid.geo_transform);
  if (!window.ok()) return window.error();
  GDALRasterBand& band = *raster->GetRasterBand(1);
  const HeightUnit unit = UnitOf(band, *crs, options, to.notes);
  if (!ReadHeights(band, *window, MetresEach(unit), to))
    return BadInput("the raster cannot be read to its end", {file, {}, "", ""});
  if (to.known == 0) return BadInput("no cell of the raster has a height here", {file, {}, "", ""});

  double* const g = to.grid.geo_transform;
  g[0] += window->column * g[1] + window->row * g[2];
  g[3] += window->column * g[4] + window->row * g[5];
  to.grid.width = window->width;
  to.grid.height = window->height;
  char* wkt = nullptr;
  crs->exportToWkt(&wkt);
  to.grid.crs_wkt = wkt == nullptr ? "" : wkt;
  CPLFree(wkt);
  to.crs = crs->GetName() != nullptr ? crs->GetName() : "unnamed";
  if (window->cells() < static_cast<double>(raster->GetRasterXSize()) * raster->GetRasterYSize())
    to.notes.emplace_back("cropped to the mains of the project and 500 m beyond");
  if (raster->GetRasterCount() > 1) to.notes.emplace_back("only the first band was read");
  return to;
}

}  // namespace lastreach
