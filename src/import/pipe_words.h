#pragma once

#include <string_view>
#include <vector>

#include "core/quantity.h"
#include "core/result.h"

namespace lastreach {

struct WrittenPipe {
  Length length;
  Diameter diameter;
  bool about = false;
};

// Several pipes in one cell, from the well-fed main to the end: "8in x 1200 ft + 6in x 400 ft",
// "1200' of 8\"; 400' of 6\"". Each has a width and a length, each with its unit, either way about.
// ERROR: kBadInput otherwise.
Result<std::vector<WrittenPipe>> ParsePipes(std::string_view text);

}  // namespace lastreach
