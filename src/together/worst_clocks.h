#pragma once

#include <vector>

#include "together/meetings.h"

namespace lastreach {

// How far behind each clock is (below 0: ahead) where the meeting that presses hardest comes to be, so much
// care taken; as little wrong as that takes. All 0 where nobody meets. `table`: of one regime.
std::vector<int> WorstClocks(PressureJudge& judge, const TimeTable& table, const Shares& chosen,
                             ClockCare care, int clock_off_min);

}  // namespace lastreach
