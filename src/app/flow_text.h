#pragma once

#include <string_view>

#include "core/quantity.h"
#include "core/result.h"

namespace lastreach {

// A flow as people say it: "2.1 MGD", "350 gpm", "8 ML/d", "92 L/s". A unit is wanted: a system's inflow is
// said in too many of them to guess. ERROR: kBadRequest naming the units there are.
Result<Flow> ParseFlow(std::string_view text);

}  // namespace lastreach
