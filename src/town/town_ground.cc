#include "town/town_ground.h"

#include <algorithm>
#include <array>

#include "town/street_plan.h"

namespace lastreach {
namespace {

struct Hill {
  TownPoint top;
  double height_m;  // negative for a hollow
  double width_m;
};
constexpr std::array<Hill, 8> kHills = {{{kTank, 7, 500},
                                         {{1300, 600}, 4, 600},
                                         {{3300, 500}, -4, 700},
                                         {{1120, 1660}, -5, 350},
                                         {{3600, 1900}, 5, 600},
                                         {{900, 3700}, 6, 550},
                                         {{3500, 3500}, -5, 500},
                                         {{4000, 4700}, 5, 600}}};

}  // namespace

double GroundAt_m(TownPoint point) {
  const double plain_m = 610 + 0.0075 * point.y_m;
  const double plateau_m = 642 + 0.004 * (point.y_m - 2700);
  const double step = std::clamp((point.y_m - 2560) / 280, 0.0, 1.0);
  const double share = step * step * (3 - 2 * step);
  double ground_m = plain_m + share * (plateau_m - plain_m);
  for (const Hill& hill : kHills) {
    const double x = (point.x_m - hill.top.x_m) / hill.width_m, y = (point.y_m - hill.top.y_m) / hill.width_m;
    const double away = 1 + x * x + y * y;
    ground_m += hill.height_m / (away * away);
  }
  return ground_m;
}

}  // namespace lastreach
