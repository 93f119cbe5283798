#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "import/fields.h"

namespace lastreach {

// Whether its features have a place: mains and all that stands on a map.
bool IsMapKind(TableKind kind);

// What a map shows by the words people have for it, singular or plural: "mains", "water main", "pipes",
// "blowoffs", "washouts", "meters", "address points", "zone areas". None for "services" and "zones": these
// are sheets too (fields.h), and the file decides (HoldsShapes in layer.h).
std::optional<TableKind> MapKindOf(std::string_view text);

// The fields of what a map shows. `shape`, `x` and `y` are read only where a file has no geometry of its own.
std::vector<Field> MapFields(TableKind kind);

}  // namespace lastreach
