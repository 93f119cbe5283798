#pragma once

#include <string>

#include "core/result.h"

namespace lastreach {

// Writes the invented town's map into `folder`, making it if need be: the layers a town's office might hand
// over, each in another format and system, with the faults such layers have.
//
//   mains.shp (with .dbf, .shx, .prj)   state plane, feet        elevation.tif   UTM 14 north, 30 m
//   cells services.gpkg   WGS 84                    zones.gpkg   UTM 14 north valves.geojson, works.geojson,
//   sewers.geojson   WGS 84 hydrants.csv    longitude and latitude    FAULTS.csv   every fault, with its
//   place and size README.txt      what each is, and which trap sits where
//
// The content is the same on every call. Files of those names are overwritten; others are left alone.
//
// ERROR: kBadInput naming the folder or file that cannot be made.
// COST: about a second.
Status WriteTownLayers(const std::string& folder);

}  // namespace lastreach
