#pragma once

#include <string>

#include "import/layer.h"
#include "import/mapping.h"

namespace lastreach {

// What in a layer speaks of sewers or drains instead of drinking water, to be asked before it comes in.
//   the name of file or layer has such a word                                2 points, less 2 for "water
//   main" each heading of inverts, manholes, slopes, rims                          1, at most 3 30 % of the
//   known materials are those of sewers                          2 nine tenths of those whose content is
//   known carry sewage                 3 a fifth of them carries drinking water: rows are told apart one by
//   one  less 3
// Common practice, no source.
struct SewerSigns {
  int points = 0;
  std::string evidence;  // "its name has 'sanitary'; headings UPINVERT, SLOPE"
  bool likely() const { return points >= 2; }
};
SewerSigns FindSewerSigns(const Layer& layer, const Preview& preview);

}  // namespace lastreach
