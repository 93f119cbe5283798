#pragma once

#include "core/result.h"
#include "import/layer.h"
#include "import/mapping.h"

namespace lastreach {

// As MapColumns, with what only a layer can tell: attributes called x and shape are not read where features
// have a geometry, and a length without a unit is held against the drawing (middle ratio of value to metres:
// within 10 % of 1 it is in metres, of 3.2808 in feet, of 0.001 in km; else the column is not read).
Result<Preview> MapLayer(const Layer& layer, TableKind kind, const MappingOptions& options = {});

// The attribute that numbers every feature differently: the one chosen for `id`, or the next best of its
// headings; none if no such attribute does, and then the features' own numbers do.
struct KeyColumn {
  std::optional<size_t> column;
  std::string note;  // where it is not the one chosen for `id`
};
KeyColumn FindKeyColumn(const Layer& layer, const Preview& preview);

}  // namespace lastreach
