#pragma once

#include <string>
#include <vector>

#include "core/position.h"
#include "network/drawing.h"
#include "network/network.h"

namespace lastreach {

// True if a place lies in one of the area's polygons and in none of its holes. Edges belong to one side only,
// so that of two areas with a common border exactly one has a place on it, but for places outside both.
bool IsIn(const DrawnArea& area, Position at);

struct ZoneSummary {
  int nodes_given = 0;
  int links_given = 0;
  int nodes_without = 0;
  int links_without = 0;
};

// Gives a zone to every node and link that has none: the name of the first drawn area that it lies in, a link
// by the middle of its line. A node in no area takes the zone of its links where they all have the same.
// COST: places x corners of the areas whose bounding boxes they lie in.
ZoneSummary GiveZones(Network& network, const std::vector<DrawnArea>& areas);

}  // namespace lastreach
