#pragma once

#include "core/civil_time.h"
#include "core/zone.h"

namespace lastreach {

// Whether clocks in the zone show a local time once, twice (the hour put back), or never (the hour skipped).
enum class LocalTimeKind { kOnce, kTwice, kNever };
LocalTimeKind KindOfLocalTime(const Zone& zone, LocalTime local);

}  // namespace lastreach
