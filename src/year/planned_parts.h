#pragma once

#include <array>
#include <memory>
#include <optional>
#include <vector>

#include "plan/facts.h"
#include "year/device_parts.h"
#include "year/season_water.h"

namespace lastreach {

// [part] the lowest residual in the main at the root of a reach in each local hour, from the whole network
// [mg/L]; none, or an empty list, where no network says.
using RootsByPart = std::vector<std::optional<std::array<double, 24>>>;

// What planning says of a device through the year: each part planned by PlanDevice as if no settings were
// there yet, and settings judged by the measure of a plan, with the clock right and an hour out.
//
// Water is counted by the days of the part, an every-N programme's as days / N; where runs queue or merge it
// is what was asked for. A part keeps the guard of an hour round forbidden hours unless its own plan had to
// let it go. `year` is kept by reference.
std::unique_ptr<DeviceParts> PlannedParts(const DeviceFacts& facts, const PlanOptions& options,
                                          const std::vector<YearPart>& year,
                                          const std::vector<MonthWater>& water,
                                          const RootsByPart& roots = {});

// What is keyed now, if a schedule may stand on it: its clock is right and no starts overlap.
std::optional<TimerSettings> PresentToKeep(const DeviceFacts& facts, const PlanOptions& options,
                                           const std::vector<YearPart>& year);

}  // namespace lastreach
