#pragma once

#include <limits>
#include <span>
#include <vector>

#include "core/result.h"
#include "hydraulics/supply.h"
#include "network/network.h"

namespace lastreach {

// Levels nearer than this are one level.
inline constexpr double kSameLevel_m = 1e-9;

// A tank whose level moves with what it takes: an upright cylinder.
struct LevelTank {
  NodeIndex node{};
  double area_m2 = 0;
  double elevation_m = 0;
  double min_level_m = 0;
  double max_level_m = 0;
  double volume_m3 = 0;
  std::vector<double> rising_marks_m;   // what ends a step when the level comes to it from below
  std::vector<double> falling_marks_m;  // from above

  double level_m() const { return volume_m3 / area_m2; }
};

// Every tank with levels, in order of node. ERROR: kBadInput naming a tank whose lowest level is below its
// elevation: the water in it could not be told.
Result<std::vector<LevelTank>> LevelTanksOf(const Network& network);

// What a tank at its level lets through: full it only gives, empty it only fills.
TankGate GateOf(const LevelTank& tank);

// How long a tank that takes `inflow_m3_per_s` needs to the next mark in its way; infinity if there is none.
double TimeToMark_s(const LevelTank& tank, double inflow_m3_per_s);

}  // namespace lastreach
