#pragma once

#include <string>

#include "core/result.h"
#include "store/database.h"

namespace lastreach {

// Brings the row of a table in the GeoPackage's list of contents up to date after its rows were replaced:
// when that was and, of a layer, the box round its features, which is what a GIS zooms to. COST: reads every
// geometry of the layer; 100,000 lines of 10 points in 0.1 s.
Status NoteChange(Database& database, const std::string& table);
Status NoteLayerChange(Database& database, const std::string& layer);

}  // namespace lastreach
