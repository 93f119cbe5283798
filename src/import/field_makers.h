#pragma once

#include <string>
#include <utility>
#include <vector>

#include "import/fields.h"

// How the lists of fields say what they have: words, a number with a unit, a day, and what a row cannot do
// without.
namespace lastreach::field {

inline Field Text(std::string name, std::vector<std::string> headings) {
  return {std::move(name), Dimension::kNone, false, false, std::move(headings)};
}
inline Field Measure(std::string name, Dimension dimension, std::vector<std::string> headings) {
  return {std::move(name), dimension, false, false, std::move(headings)};
}
inline Field Day(std::string name, std::vector<std::string> headings) {
  return {std::move(name), Dimension::kNone, false, true, std::move(headings)};
}
inline Field Required(Field field) {
  field.required = true;
  return field;
}

}  // namespace lastreach::field
