#pragma once

#include <string>

#include "app/project_map.h"

namespace lastreach {

// What a person wants to know of a network just made: the tolerance and why, how much hangs together, each
// repair with its place and reason, what was set aside, placed, served and filled in. Long lists are cut with
// a word on how many more there are, unless `all`.
std::string MapText(const MapMade& made, const std::string& file, bool all);

// The same, whole, as one JSON document. Keys carry units.
std::string MapJson(const MapMade& made, const std::string& file);

}  // namespace lastreach
