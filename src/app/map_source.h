#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/result.h"
#include "network/network.h"
#include "store/project.h"

namespace lastreach {

// What a command that looks at the network was given: a project, or a folder of plain tables in its place.
struct MapSource {
  std::string file;
  std::optional<Project> project;  // none for a folder
  std::optional<Network> network;  // none in a project that has none yet
};

// ERROR: what opening the project or reading the tables gives.
Result<MapSource> OpenMapSource(const std::string& file);

// Gives sources and tanks the names they have on the map, where one name stands at the node: "Hilltop" for
// "N44".
void NameFeeders(const std::vector<DrawnThing>& things, Network& network);

// Whether any node has a place on the ground; a plain table's have none.
bool HasPlaces(const Network& network);

}  // namespace lastreach
