#pragma once

#include <string>
#include <vector>

#include "town/geography.h"

namespace lastreach {

enum class StreetKind {
  kThrough,       // a wide main that feeds a quarter
  kFlushed,       // a dead-end street with a flush point, out of Streets()
  kLocal,         // of a quarter's grid, between other streets
  kCulDeSac,      // a dead end without device or blow-off
  kCrescent,      // leaves a street and comes back to it: water may stand in its middle
  kTransmission,  // from plant, neighbour or tank; passes under streets and feeds no house
  kHydrantLead,   // a few metres from the main to a hydrant
};

// A street (or part of one, where the zone changes) and the main under it, as it really lies. Two streets are
// joined where a vertex of one lies on the line of the other, and nowhere else.
struct PlannedStreet {
  StreetKind kind = StreetKind::kLocal;
  std::string name;
  std::string zone;  // of the water in it
  std::vector<TownPoint> line;
  std::vector<TownPipe> pipes;  // lengths sum to the length of the line
  std::string material;         // "PVC"
  int year_laid = 0;
  double lot_m = 0;      // width of a house's ground along the street, both sides built; 0 for no houses
  std::string end_code;  // the flush point at its end, of kFlushed
};

// What stands once in the town, with the level of the water in it.
struct TownWork {
  std::string name;
  TownPoint at;
  double head_m = 0;  // above the datum of the ground heights
};
inline constexpr TownPoint kPlant = {250, 480};       // treats river water for Millrace
inline constexpr TownPoint kNeighbour = {180, 2860};  // where High Tank's water is bought
inline constexpr TownPoint kBooster = {560, 2860};    // lifts the bought water
inline constexpr TownPoint kTank = {2350, 4635};      // elevated, High Tank
inline constexpr double kPlantHead_m = 668;
inline constexpr double kNeighbourHead_m = 672;
inline constexpr double kTankHead_m = 702;
inline constexpr double kTankBowl_m = 697;  // of the bottom of the bowl
// The railway parts the two waters. Where a main passes it stands a valve that is kept shut.
inline constexpr double kRailway_y_m = 2700;

// The whole town: what Streets() has, streets of the same town round and between them, the works' mains.
// Streets cross or touch only where they are joined, but for kBridgedCrossings places where the plant's main
// passes under a street. Deterministic. COST: about a tenth of a second; computed once.
const std::vector<PlannedStreet>& StreetPlan();
inline constexpr int kBridgedCrossings = 6;

// The valves between the two waters, each on a vertex where two parts of a street meet.
std::vector<TownPoint> BoundaryValves();

}  // namespace lastreach
