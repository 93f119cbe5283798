#pragma once

#include <vector>

#include "together/stagger_system.h"

namespace lastreach {

// Why these devices cannot all run even with all clocks as careful as `care`: the fewest of them that cannot,
// and the fewest limits that forbid it, each in the sense that one less would do. `proven` false: the whole
// group and its limits, for nothing was proven.
// SOURCE: Junker, QuickXplain, AAAI 2004 (from memory). COST: some tens of programmes.
StaggerConflict ExplainConflict(const StaggerSystem& system, const std::vector<size_t>& who, ClockCare care,
                                bool proven);

}  // namespace lastreach
