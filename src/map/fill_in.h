#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/result.h"
#include "map/zones.h"
#include "network/drawing.h"
#include "network/network.h"

namespace lastreach {

// All change the answer.
struct FillOptions {
  std::optional<int> reference_year;  // ages are counted up to it; none: no age is known
  int rings = 5;                      // how many links away a neighbour may be
  int similar_years = 10;             // of neighbours, those laid within this of each other say the material
  // Unlined metal of a known age grows rougher by this, instead of by table. None: the table.
  std::optional<double> growth_m_per_year;
  // Where no main of the network has a diameter. DEFAULT: 6 in, as planning a reach takes; common practice,
  // no source.
  double default_diameter_m = 0.1524;
};

// How much of what can have it had a value, and how much was filled in. Lengths of pipes and check valves.
struct FilledShare {
  int filled_links = 0;
  int links = 0;
  double filled_m = 0;
  double length_m = 0;
};

struct FillSummary {
  FilledShare diameter;
  FilledShare material;
  FilledShare roughness;
  int elevations_filled = 0;
  int elevations_missing = 0;  // nodes that have none yet
  ZoneSummary zones;
  std::vector<std::string> notes;  // "diameter: 12.3 km of 180.0 km of main filled in"
};

// Fills in what a map leaves blank; what is there stays. Every number filled in says so.
//   diameter   of a main without one: what most length of its known neighbours has: those in the same street,
//              at the nearest distance (in links, up to `rings`) where there is one; else all at the nearest
//              distance; else the commonest of the network. A branch to an end is rarely as wide as the main
//              it leaves (common practice, no source): outside its street it asks only other branches.
//              Origin: assumed, "filled in from neighbours", naming them. Only what was drawn counts as
//              known, so the order of mains changes nothing.
//   material   the same, of neighbours laid within similar_years where there are such; branches ask all.
//              Link::material_assumed.
//   roughness  C, or height where the options say Darcy and Weisbach, by material and age
//              (network/roughness.h).
//   elevation  of a node with a position: of the ground there (elevation.h). Origin: estimated, naming the
//              grid.
//   zone       zones.h.
// ERROR: kBadInput naming the grid if an elevation grid cannot be placed on the ground.
// COST: O(n) and, for each main with a blank, the links within `rings`.
Result<FillSummary> FillIn(Network& network, const Drawing& drawing, const FillOptions& options = {});

}  // namespace lastreach
