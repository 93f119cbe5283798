#include "map/elevation.h"

#include <ogr_spatialref.h>

#include <cmath>

namespace lastreach {
namespace {

struct DropTransformation {
  void operator()(OGRCoordinateTransformation* transformation) const {
    OGRCoordinateTransformation::DestroyCT(transformation);
  }
};
using Transformation = std::unique_ptr<OGRCoordinateTransformation, DropTransformation>;

double Determinant(const ElevationGrid& grid) {
  const double* g = grid.geo_transform;
  return g[1] * g[5] - g[2] * g[4];
}

}  // namespace

struct Ground::Impl {
  const std::vector<ElevationGrid>* grids = nullptr;
  std::vector<Transformation> to_grid;
};

Ground::Ground(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}
Ground::~Ground() = default;
Ground::Ground(Ground&&) noexcept = default;

Result<Ground> Ground::Of(const std::vector<ElevationGrid>& grids) {
  auto impl = std::make_unique<Impl>();
  impl->grids = &grids;
  OGRSpatialReference world;
  world.SetWellKnownGeogCS("WGS84");
  world.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
  for (const ElevationGrid& grid : grids) {
    if (!std::isfinite(Determinant(grid)) || Determinant(grid) == 0) {
      return BadInput("the grid's place on the ground cannot be read", {grid.name, {}, "", ""});
    }
    if (grid.width <= 0 || grid.height <= 0 ||
        grid.metres.size() != static_cast<size_t>(grid.width) * static_cast<size_t>(grid.height)) {
      return BadInput("the grid's size is not that of its heights", {grid.name, {}, "", ""});
    }
    OGRSpatialReference own;
    own.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    if (own.importFromWkt(grid.crs_wkt.c_str()) != OGRERR_NONE) {
      return BadInput("the grid's coordinate system is missing or cannot be read",
                      {grid.name, {}, "", grid.crs_wkt});
    }
    impl->to_grid.emplace_back(OGRCreateCoordinateTransformation(&world, &own));
    if (!impl->to_grid.back()) {
      return BadInput("there is no way from degrees to the grid's coordinate system",
                      {grid.name, {}, "", ""});
    }
  }
  return Ground(std::move(impl));
}

std::optional<GroundHeight> Ground::At(Position position) const {
  for (size_t i = impl_->grids->size(); i-- > 0;) {
    double x = position.longitude_deg;
    double y = position.latitude_deg;
    if (!impl_->to_grid[i]->Transform(1, &x, &y)) continue;
    const ElevationGrid& grid = (*impl_->grids)[i];
    if (const auto metres = HeightOnGrid_m(grid, x, y)) return GroundHeight{*metres, grid.name};
  }
  return {};
}

std::optional<double> HeightOnGrid_m(const ElevationGrid& grid, double x, double y) {
  const double* g = grid.geo_transform;
  const double dx = x - g[0];
  const double dy = y - g[3];
  const double column = (dx * g[5] - dy * g[2]) / Determinant(grid);
  const double row = (dy * g[1] - dx * g[4]) / Determinant(grid);
  if (!(column >= 0 && column <= grid.width && row >= 0 && row <= grid.height)) return {};
  // From corners to centres of cells.
  const double left = std::floor(column - 0.5);
  const double top = std::floor(row - 0.5);
  const double right_share = column - 0.5 - left;
  const double lower_share = row - 0.5 - top;
  double weighted = 0, weights = 0, plain = 0;
  int known = 0;
  for (int i = 0; i < 2; ++i) {
    for (int j = 0; j < 2; ++j) {
      const int r = static_cast<int>(top) + i;
      const int c = static_cast<int>(left) + j;
      if (r < 0 || r >= grid.height || c < 0 || c >= grid.width) continue;
      const double metres =
          grid.metres[static_cast<size_t>(r) * static_cast<size_t>(grid.width) + static_cast<size_t>(c)];
      if (!std::isfinite(metres)) continue;
      const double weight =
          (i == 1 ? lower_share : 1 - lower_share) * (j == 1 ? right_share : 1 - right_share);
      weighted += weight * metres;
      weights += weight;
      plain += metres;
      ++known;
    }
  }
  if (known == 0) return {};
  // A place at the very centre of an unknown cell gives its neighbours no weight at all.
  if (weights < 1e-9) return plain / known;
  return weighted / weights;
}

}  // namespace lastreach
