#include <cmath>

#include "town/layer_contents.h"
#include "town/town_ground.h"
#include "town/town_lines.h"

namespace lastreach {
namespace {

constexpr int kUtm14North = 32614;

double Rounded(double value, double step) { return std::round(value / step) * step; }

}  // namespace

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

}  // namespace lastreach
