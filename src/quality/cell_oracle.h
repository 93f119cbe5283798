#pragma once

#include <vector>

#include "quality/flow_script.h"

namespace lastreach {

// For tests only: the slow oracle of network_transport.h. Water goes round in parcels of one step's flow
// each, whose values stay as they are but for what is lost; at a node all that comes in a step is stirred.
// First order in the step.

struct CellReading {
  double age_s = 0;
  double chlorine_mg_per_l = 0;
  double share = 0;
};

// What came to each node in the last step of each period: by period, then node. Of tanks, what they give.
// `source`'s water is tracked; no step is longer than `longest_s`.
std::vector<std::vector<CellReading>> TrackCells(const RandomTown& random, NodeIndex source,
                                                 double longest_s);

}  // namespace lastreach
