#pragma once

#include "app/import_layer.h"

namespace lastreach {

// How the features of a layer differ from those of the same layer and sort in the project, by key. Equal are
// those drawn within a millimetre or so with the same attributes, whoever brought them and when.
// COST: n log n in features.
LayerChanges CompareWith(const Drawing& before, const ImportedLayer& now, const std::string& layer,
                         TableKind kind);

}  // namespace lastreach
