#pragma once

#include <string>
#include <vector>

#include "town/map_lines.h"

namespace lastreach {

// README.txt beside the layers: what each layer is, and how many of each fault there are and where they sit.
std::string GisReadme(const std::vector<MapFault>& faults);

}  // namespace lastreach
