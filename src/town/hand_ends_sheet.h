#pragma once

#include <string>
#include <vector>

#include "core/result.h"

namespace lastreach {

// Writes ends.xlsx, the 40 hand-flushed ends out of the blue binder: a title over the headings, an empty row,
// cells that are numbers and cells that only look like them. The same to the byte every time.
// ERROR: kBadInput naming the file if it cannot be written.
Status WriteHandEndsSheet(const std::string& path);

// What stands at H01 to H40, in the sheet's words: "hydrant", "blow-off" or "post hydrant".
std::vector<std::string> HandEndOutlets();

}  // namespace lastreach
