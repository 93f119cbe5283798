#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "town/street_plan.h"

namespace lastreach {

// A line of the layer of mains as somebody drew it.
struct MapLine {
  std::string id;                             // "W-0042"
  std::vector<std::vector<TownPoint>> parts;  // one, but for a line of several parts
  std::string street;
  std::string zone;
  std::string diameter;  // as typed: "6", "UNK", "0", "-9.99", ""
  std::string material;
  std::string status;              // "active", "abandoned"
  std::string contents;            // "drinking water", "raw water"
  std::optional<int64_t> laid_ms;  // of the day it was laid, since 1970 began
};

// A place where a layer is not as the town is, or does not say how it is.
struct MapFault {
  std::string kind;   // "end falls short"
  std::string layer;  // "mains"
  std::string id;     // of the feature
  TownPoint at;
  double size_m = 0;
  std::string note;
};

struct MainsAsDrawn {
  std::vector<MapLine> lines;
  std::vector<MapFault> faults;
};

// The true network drawn by several hands over forty years: most mains run on through their tees, ends fall
// short or run past, lines are doubled, diameters are missing. Every fault is in the list. All in town
// metres; the line that lies far away is not here, since it lies in no town (town_layers.cc adds it).
MainsAsDrawn DrawMains();

}  // namespace lastreach
