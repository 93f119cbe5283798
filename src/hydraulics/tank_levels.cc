#include "hydraulics/tank_levels.h"

#include <algorithm>
#include <numbers>

namespace lastreach {

Result<std::vector<LevelTank>> LevelTanksOf(const Network& network) {
  std::vector<LevelTank> tanks;
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    const Node& node = network.nodes[i];
    // As SupplyAt: one without elevation is held at its head.
    if (node.kind != NodeKind::kTank || !node.tank || !node.elevation_m) continue;
    const TankShape& shape = *node.tank;
    if (shape.min_level_m < 0) {
      return BadInput(
          "tank '" + node.id + "' has a lowest level below its elevation; levels count from there",
          {"nodes.csv", {}, "min_level_m", ""});
    }
    LevelTank tank;
    tank.node = NodeIndex(i);
    tank.area_m2 = std::numbers::pi / 4 * shape.diameter_m * shape.diameter_m;
    tank.elevation_m = node.elevation_m->value;
    tank.min_level_m = shape.min_level_m;
    tank.max_level_m = shape.max_level_m;
    tank.volume_m3 = shape.level_m * tank.area_m2;
    tank.rising_marks_m = {shape.max_level_m};
    tank.falling_marks_m = {shape.min_level_m};
    tanks.push_back(std::move(tank));
  }
  return tanks;
}

TankGate GateOf(const LevelTank& tank) {
  const bool full = tank.level_m() >= tank.max_level_m - kSameLevel_m;
  const bool empty = tank.level_m() <= tank.min_level_m + kSameLevel_m;
  if (full && empty) return TankGate::kShut;
  if (full) return TankGate::kOnlyGives;
  return empty ? TankGate::kOnlyFills : TankGate::kFree;
}

double TimeToMark_s(const LevelTank& tank, double inflow_m3_per_s) {
  double least_s = std::numeric_limits<double>::infinity();
  if (inflow_m3_per_s == 0) return least_s;
  const bool rises = inflow_m3_per_s > 0;
  for (const double mark_m : rises ? tank.rising_marks_m : tank.falling_marks_m) {
    const double way_m = rises ? mark_m - tank.level_m() : tank.level_m() - mark_m;
    if (way_m <= kSameLevel_m) continue;
    least_s = std::min(least_s, (mark_m * tank.area_m2 - tank.volume_m3) / inflow_m3_per_s);
  }
  return least_s;
}

}  // namespace lastreach
