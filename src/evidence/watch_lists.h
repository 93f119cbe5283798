#pragma once

#include <vector>

#include "evidence/watch.h"

namespace lastreach {

// What falls due by the calendar at one point: temporary settings, a device off, batteries, refills, flow
// tests. Batteries, flow tests and settings are a device's; refills are any outlet's that is dechlorinated.
std::vector<WatchItem> DueItems(const WatchFacts& facts, const WatchOptions& options);

}  // namespace lastreach
