#pragma once

#include <map>
#include <string>
#include <string_view>

#include "core/result.h"
#include "import/fields.h"

namespace lastreach {

// What the codes of one column stand for: "DIP" is "ductile iron", "A" is "150 mm", "" (a blank cell) is
// "cast iron". A code that stands for "unknown" is one nobody knows.
using ValueMap = std::map<std::string, std::string>;

// By field.
using ValueMaps = std::map<std::string, ValueMap>;

// The [values.FIELD] tables of a columns file; none if it has none.
//   [values.material]
//   DIP = "ductile iron"
//   [values.diameter]
//   A = "150 mm"
// ERROR: kNotFound, or kBadInput naming the line, for an unknown field, a value that is no text, or one that
// is no number with a unit where the field is a measure.
Result<ValueMaps> ReadValueMaps(const std::string& path, TableKind kind);

// What the cell stands for: found as written, then by its plain words, then as the same number ("6" is
// "6.0"); nullptr if it is not in the map.
const std::string* StandsFor(const ValueMap& values, std::string_view cell);

}  // namespace lastreach
