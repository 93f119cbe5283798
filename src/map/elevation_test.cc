#include "map/elevation.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogr_spatialref.h>

#include <limits>
#include <random>

#include "map/hand_map.h"

namespace lastreach {
namespace {

constexpr double kPlane[] = {120, 0.03, -0.017};  // z = a + b x + c y

std::string WktOf(int epsg) {
  OGRSpatialReference reference;
  reference.importFromEPSG(epsg);
  char* wkt = nullptr;
  reference.exportToWkt(&wkt);
  const std::string text = wkt;
  CPLFree(wkt);
  return text;
}

// A grid that holds a slope exactly at its cells' centres; turned a little, if asked.
ElevationGrid Slope(bool turned) {
  ElevationGrid grid;
  grid.name = "slope.tif";
  grid.width = 40;
  grid.height = 30;
  const double straight[6] = {500, 10, 0, 900, 0, -10};
  const double oblique[6] = {500, 9, 2, 900, 3, -11};
  std::copy_n(turned ? oblique : straight, 6, grid.geo_transform);
  const double* g = grid.geo_transform;
  for (int row = 0; row < grid.height; ++row) {
    for (int column = 0; column < grid.width; ++column) {
      const double x = g[0] + (column + 0.5) * g[1] + (row + 0.5) * g[2];
      const double y = g[3] + (column + 0.5) * g[4] + (row + 0.5) * g[5];
      grid.metres.push_back(static_cast<float>(kPlane[0] + kPlane[1] * x + kPlane[2] * y));
    }
  }
  return grid;
}

// Heights are kept as floats of about 130 m: half a unit in the last place is 8e-6.
constexpr double kFloat_m = 1.6e-5;

TEST(Elevation, AgreesWithASlopeInClosedFormEverywhereBetweenCentres) {
  std::mt19937 random(3);
  for (const bool turned : {false, true}) {
    const ElevationGrid grid = Slope(turned);
    const double* g = grid.geo_transform;
    std::uniform_real_distribution<double> column(0.5, grid.width - 0.5), row(0.5, grid.height - 0.5);
    for (int i = 0; i < 1000; ++i) {
      const double c = column(random), r = row(random);
      const double x = g[0] + c * g[1] + r * g[2];
      const double y = g[3] + c * g[4] + r * g[5];
      const auto height = HeightOnGrid_m(grid, x, y);
      ASSERT_TRUE(height);
      EXPECT_NEAR(*height, kPlane[0] + kPlane[1] * x + kPlane[2] * y, kFloat_m);
    }
  }
}

TEST(Elevation, KnownNeighboursShareTheWeightOfUnknownOnes) {
  ElevationGrid grid;
  grid.width = grid.height = 2;
  const float kUnknown = std::numeric_limits<float>::quiet_NaN();
  grid.metres = {10, 20, 30, kUnknown};
  const double straight[6] = {0, 1, 0, 2, 0, -1};
  std::copy_n(straight, 6, grid.geo_transform);
  EXPECT_DOUBLE_EQ(*HeightOnGrid_m(grid, 1, 1), 20);           // three of equal weight
  EXPECT_DOUBLE_EQ(*HeightOnGrid_m(grid, 1, 1.5), 15);         // between the upper two
  EXPECT_NEAR(*HeightOnGrid_m(grid, 1.499, 0.501), 25, 0.02);  // close to the unknown one's centre
  EXPECT_DOUBLE_EQ(*HeightOnGrid_m(grid, 0.1, 1.9), 10);       // the rim
  EXPECT_FALSE(HeightOnGrid_m(grid, 2.1, 1));
  EXPECT_FALSE(HeightOnGrid_m(grid, 1, -0.1));
  grid.metres.assign(4, kUnknown);
  EXPECT_FALSE(HeightOnGrid_m(grid, 1, 1));
}

// UTM zone 14 north: its central meridian is 99 W; there the easting is 500 km by definition, and at the
// equator the northing is 0.
TEST(Elevation, FindsThePlaceInTheGridsOwnCoordinates) {
  ElevationGrid grid = Slope(false);
  grid.crs_wkt = WktOf(32614);
  const double straight[6] = {500000 - 200, 10, 0, 150, 0, -10};
  std::copy_n(straight, 6, grid.geo_transform);
  for (int row = 0; row < grid.height; ++row) {
    for (int column = 0; column < grid.width; ++column) {
      const auto cell = static_cast<size_t>(row * grid.width + column);
      grid.metres[cell] = static_cast<float>(-200 + 10 * (column + 0.5));  // metres east of the meridian
    }
  }
  const std::vector<ElevationGrid> grids{grid};
  const auto ground = Ground::Of(grids);
  ASSERT_TRUE(ground.ok()) << ground.error().ToString();
  EXPECT_NEAR(ground->At({-99, 0})->metres, 0, 1e-4);
  // A thousandth of a degree along the equator is 111.3195 m on the ground, 111.2750 m at UTM's scale of
  // 0.9996.
  EXPECT_NEAR(ground->At({-98.999, 0})->metres, 111.2750, 1e-3);
  EXPECT_EQ(ground->At({-99, 0})->grid, "slope.tif");
  EXPECT_FALSE(ground->At({-98, 0}));
}

TEST(Elevation, TheLaterGridIsAskedFirstAndTheOtherWhereItIsBlank) {
  std::vector<ElevationGrid> grids(2);
  for (size_t i = 0; i < 2; ++i) {
    grids[i].name = i == 0 ? "coarse" : "fine";
    grids[i].crs_wkt = WktOf(4326);
    grids[i].width = 2;
    grids[i].height = 1;
    const double degrees[6] = {0, 1, 0, 1, 0, -1};
    std::copy_n(degrees, 6, grids[i].geo_transform);
  }
  const float kUnknown = std::numeric_limits<float>::quiet_NaN();
  grids[0].metres = {5, 6};
  grids[1].metres = {50, kUnknown};
  const auto both = Ground::Of(grids);
  ASSERT_TRUE(both.ok()) << both.error().ToString();
  EXPECT_EQ(both->At({0.2, 0.5})->metres, 50);
  EXPECT_EQ(both->At({1.9, 0.5})->grid, "coarse");
  EXPECT_EQ(both->At({1.9, 0.5})->metres, 6);
}

TEST(Elevation, AGridThatCannotBePlacedIsNamed) {
  std::vector<ElevationGrid> grids{Slope(false)};
  const auto ground = Ground::Of(grids);
  ASSERT_FALSE(ground.ok());
  EXPECT_THAT(ground.error().ToString(), testing::HasSubstr("slope.tif"));
  grids[0].crs_wkt = WktOf(4326);
  grids[0].metres.pop_back();
  EXPECT_FALSE(Ground::Of(grids).ok());
}

}  // namespace
}  // namespace lastreach
