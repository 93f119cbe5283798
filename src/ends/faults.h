#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/position.h"
#include "ends/quiet_places.h"
#include "network/drawing.h"
#include "network/network.h"
#include "network/quiet_place.h"
#include "network/repair.h"

namespace lastreach {

// What is wrong with a map, or may be. Stored and printed: never change the words.
enum class FaultKind {
  kNoSource,
  kIsland,
  kShutIn,
  kOfferedRepair,
  kUnsureRepair,
  kSetAside,
  kUnknownWidth,
  kOddWidth,
  kOddLength,
  kOddElevation,
  kNoElevation,
  kServiceWithoutMain,
  kThingOffMain,
  kDoubledMain,
  kMaybeGap,
  kBridges,
  kMaybeNoMain,
};

// One fault, where it is, what it does to the answer, and what would mend it.
struct Fault {
  FaultKind kind = FaultKind::kNoSource;
  // Share of the system whose answer it would change, 0 to 1: services and length of main (a service counts
  // as much as 25 m; common practice, no source) by how wrong they would be.
  double severity = 0;
  std::string effect;          // one sentence: "20 services, 1.2 km of main lie behind a 3.1 m gap"
  std::string mend;            // one sentence
  std::optional<Position> at;  // none where it has no place
  std::string where;           // street, node or feature, for maps without places too
  std::vector<FeatureKey> features;
};

// What the map was made of, as far as it is there.
struct MapRecords {
  Drawing drawing;
  std::vector<Repair> repairs;
  std::vector<SetAside> set_aside;
  std::vector<QuietPlace> quiet_places;  // of the network, ranked
};

// All are common practice, no source.
struct FaultOptions {
  double unsure_below = 0.7;  // a repair made with less confidence is a fault until a person decides
  double least_width_m = 0.025;
  double greatest_width_m = 3;
  double odd_length_share = 0.2;  // written and drawn length differ by more than this share
  double odd_length_m = 2;        // and these metres more
  double odd_elevation_m = 300;   // below the lowest or above the highest of the middle 98 % of nodes
  double thing_reach_m = 30;      // beyond this from every main a thing is off the map's mains
  double service_reach_m = 150;
  double doubled_within_m = 1;   // two mains that run side by side closer than this
  double doubled_length_m = 10;  // for at least this length
  double bridge_below = 0.2;     // a crossing offered with less confidence is plainly a bridge
  // A straight stretch of a drawn main longer than this that passes over so many other mains without a joint
  // may be a point gone astray, a line drawn to try the program, or a note; a trunk main, at least so wide,
  // does run so.
  double long_straight_m = 1000;
  int passes_over = 5;
  double trunk_m = 0.3;
};

// Everything about the map that would change what is said of its ends, the worst first, each with its place
// and a mend. Services without a main are put together where they stand in one square of 200 m, lines set
// aside by their reason, crossings that are plainly bridges and missing elevations into one each. COST:
// O((links + services + things) log links); 100,000 links in a few seconds.
std::vector<Fault> FindFaults(const Network& network, const MapRecords& records,
                              const FaultOptions& options = {});

std::string_view ToText(FaultKind kind);  // "no source", "island", "shut in", "offered repair", ...

}  // namespace lastreach
