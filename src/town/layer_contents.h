#pragma once

#include <vector>

#include "town/gis_files.h"
#include "town/map_lines.h"
#include "town/map_points.h"

namespace lastreach {

// What each layer of the town's map holds, ready to be written. Columns are what the README says.

GisPoint Degrees(TownPoint point);

// With one more line that lies hundreds of kilometres away, near the origin of the layer's system.
GisLayer MainsLayer(const MainsAsDrawn& drawn);
MapFault FarAwayFault();  // its place is no town point: it is FarAwayPlace()
GisPoint FarAwayPlace();

GisLayer ServicesLayer();
GisLayer ValvesLayer(const std::vector<MapValve>& valves);
GisLayer SewersLayer();
GisLayer WorksLayer();  // sources, tank and pump, with levels, sizes and the pump's curve
GisLayer ZonesLayer();
GisGrid Elevations();

}  // namespace lastreach
