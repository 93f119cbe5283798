#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "import/fields.h"

namespace lastreach {

// How well a heading fits a field.
struct HeadingMatch {
  double score = 0;  // 1 for the same words, less for each letter that is off, 0 for no match
  size_t rank = 0;   // place of the words in the field's list: earlier ones say it more plainly
  std::optional<Unit> unit;
};
HeadingMatch MatchHeading(std::string_view heading, const Field& field);

// The best score of a heading over all fields of `kind`.
double BestMatch(std::string_view heading, TableKind kind);

}  // namespace lastreach
