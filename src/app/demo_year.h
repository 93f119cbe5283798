#pragma once

#include <string>

#include "app/subcommands.h"
#include "core/civil_time.h"
#include "core/result.h"

namespace lastreach {

// Its name and the day its sheets were handed over, by which a project is known to be the demo's.
inline constexpr const char* kDirtyYearName = "Invented town, 2025";
inline constexpr const char* kDirtyYearHandedOver = "2026-01-05T15:00:00Z";

// The town's year 2025 with its twelve troubles: the sheets in `folder`, and a project `file` of them. What
// came of each sheet is said. REQUIRES: `file` is not there.
Status MakeDirtyYearDemo(const std::string& folder, const std::string& file, Surroundings& around);

}  // namespace lastreach
