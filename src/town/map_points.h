#pragma once

#include <string>
#include <vector>

#include "town/map_lines.h"

namespace lastreach {

struct MapValve {
  std::string id;  // "V-0123"
  TownPoint at;
  std::string street;
  double diameter_in = 0;
  std::string state;  // "open", "closed", "" where nobody looked
};

struct MapHydrant {
  std::string id;    // "D07" and "H31" of flush points, "HY-0123" of others
  std::string kind;  // "hydrant", "blow-off", "post hydrant"
  TownPoint at;
  std::string street;
};

// Valves at the joints of the mains, on the main a few metres from the joint. The four between the waters are
// closed, and one that somebody forgot, which the list of faults names.
std::vector<MapValve> DrawValves(std::vector<MapFault>& faults);

// A hydrant about every 160 m at the roadside, one at the end of each hydrant lead, and what stands at the 64
// flush points. None at culs-de-sac.
std::vector<MapHydrant> DrawHydrants();

// Sewers of the old town and downtown, three metres beside the mains, with the heights of their inverts.
struct MapSewer {
  std::string id;  // "S-0042"
  std::vector<TownPoint> line;
  std::string street;
  double up_invert_ft = 0;
  double down_invert_ft = 0;
};
std::vector<MapSewer> DrawSewers();

}  // namespace lastreach
