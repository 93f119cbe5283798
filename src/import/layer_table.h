#pragma once

#include <string>

#include "core/result.h"
#include "import/layer.h"

namespace lastreach {

// A text table or a workbook (table.h) as a layer: its places are in a column of well-known text or in two of
// x and y. Where the columns are called longitude and latitude, numbers are degrees; else as ToDegrees.
Result<Layer> ReadSheetAsLayer(const std::string& path, TableKind kind, const LayerOptions& options);

// Fills in the shapes of a layer that has a table only. ERROR: kBadInput if it has no such columns.
Result<Layer> PlacedByColumns(Layer layer, TableKind kind, const LayerOptions& options);

// Whether a sheet has such columns.
bool HasPlaceColumns(const std::string& path, TableKind kind, const LayerOptions& options);

}  // namespace lastreach
