#pragma once

#include <string>

#include "core/result.h"

namespace lastreach {

// Writes ends.xlsx, the 40 hand-flushed ends out of the blue binder: a title over the headings, an empty row,
// cells that are numbers and cells that only look like them. The same to the byte every time.
// ERROR: kBadInput naming the file if it cannot be written.
Status WriteHandEndsSheet(const std::string& path);

}  // namespace lastreach
