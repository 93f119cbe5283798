// Ground heights: a grid's place in one table, its heights as strips of whole rows in another.
#include <algorithm>

#include "store/contents.h"
#include "store/float_blob.h"
#include "store/project_impl.h"

namespace lastreach {
namespace {

// Small enough that a strip is one comfortable value, large enough that a grid is few rows.
constexpr size_t kStripBytes = 1 << 20;

Result<ElevationGrid> ReadGrid(const Row& row) {
  ElevationGrid grid;
  grid.name = row.Text("name");
  grid.crs_wkt = row.Text("crs_wkt");
  grid.geo_transform[0] = row.Number("corner_x");
  grid.geo_transform[1] = row.Number("x_per_column");
  grid.geo_transform[2] = row.Number("x_per_row");
  grid.geo_transform[3] = row.Number("corner_y");
  grid.geo_transform[4] = row.Number("y_per_column");
  grid.geo_transform[5] = row.Number("y_per_row");
  grid.width = static_cast<int>(row.Int("width"));
  grid.height = static_cast<int>(row.Int("height"));
  return grid;
}

Status PutStrips(Database& database, int64_t id, const ElevationGrid& grid) {
  const auto width = static_cast<size_t>(grid.width);
  const auto height = static_cast<size_t>(grid.height);
  const size_t rows = std::max<size_t>(1, kStripBytes / (4 * std::max<size_t>(1, width)));
  for (size_t first = 0; first < height; first += rows) {
    const size_t count = std::min(rows, height - first) * width;
    const auto added = database.Insert(
        "elevation_strips", {{"grid", id},
                             {"first_row", static_cast<int64_t>(first)},
                             {"heights_m", FloatBlob({grid.metres.data() + first * width, count})}});
    if (!added.ok()) return added.error();
  }
  return Ok();
}

}  // namespace

Status Project::PutElevation(const ElevationGrid& grid) {
  const Place place{grid.name, {}, "", ""};
  if (grid.name.empty()) return BadInput("a grid of heights needs a name");
  if (grid.width < 0 || grid.height < 0 ||
      grid.metres.size() != static_cast<size_t>(grid.width) * static_cast<size_t>(grid.height)) {
    return BadInput("a grid of heights needs width times height of them", place);
  }
  return InTransaction([&]() -> Status {
    Database& database = *impl_->database;
    Status cleared = database.Run(
        "DELETE FROM elevation_strips WHERE grid IN (SELECT id FROM elevation_grids WHERE name = ?)",
        {grid.name});
    if (cleared.ok()) cleared = database.Run("DELETE FROM elevation_grids WHERE name = ?", {grid.name});
    if (!cleared.ok()) return cleared;
    const double* g = grid.geo_transform;
    const auto id = database.Insert("elevation_grids", {{"name", grid.name},
                                                        {"crs_wkt", grid.crs_wkt},
                                                        {"corner_x", g[0]},
                                                        {"x_per_column", g[1]},
                                                        {"x_per_row", g[2]},
                                                        {"corner_y", g[3]},
                                                        {"y_per_column", g[4]},
                                                        {"y_per_row", g[5]},
                                                        {"width", int64_t{grid.width}},
                                                        {"height", int64_t{grid.height}}});
    if (!id.ok()) return id.error();
    if (Status put = PutStrips(database, *id, grid); !put.ok()) return put;
    if (Status noted = NoteChange(database, "elevation_grids"); !noted.ok()) return noted;
    return NoteChange(database, "elevation_strips");
  });
}

Result<std::vector<ElevationGrid>> Project::Impl::Elevations() const {
  auto grids = List<ElevationGrid>("SELECT * FROM elevation_grids ORDER BY id", {}, ReadGrid);
  if (!grids.ok()) return grids;
  for (ElevationGrid& grid : *grids) {
    Status read = database->Query(
        "SELECT heights_m FROM elevation_strips WHERE grid = "
        "(SELECT id FROM elevation_grids WHERE name = ?) ORDER BY first_row",
        {grid.name}, [&](const Row& row) -> Status {
          AppendFloats(row.Bytes("heights_m"), grid.metres);
          return Ok();
        });
    if (!read.ok()) return read.error();
    if (grid.metres.size() != static_cast<size_t>(grid.width) * static_cast<size_t>(grid.height)) {
      return BadInput("the grid of heights is not whole", {database->path(), {}, "name", grid.name});
    }
  }
  return grids;
}

}  // namespace lastreach
