#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "together/shared_limit.h"

namespace lastreach {

// One way for each device by turns, the hardest to place first: the cheapest that still keeps every limit,
// minute by minute. A device that finds no place goes to the front and all begin anew, a few times. None if
// that does not help, which proves nothing. `who`: the devices; the answer is in their order.
// COST: for each device and way, limits times the minutes it may be open.
std::optional<std::vector<uint32_t>> GreedyStart(const TimeTable& table,
                                                 const std::vector<SharedLimit>& limits,
                                                 const std::vector<size_t>& who,
                                                 const std::vector<std::vector<double>>& cost,
                                                 ClockCare care);

}  // namespace lastreach
