#pragma once

#include <string>
#include <variant>

#include "calendar/settings.h"
#include "core/ids.h"
#include "core/quantity.h"

namespace lastreach {

// Hours of local time in which a device must not run, [from, to); to <= from reaches past midnight.
struct ForbiddenHours {
  int from_min = 0;
  int to_min = 0;
  Weekdays days = kEveryWeekday;  // days on which the stretch begins
  friend bool operator==(const ForbiddenHours&, const ForbiddenHours&) = default;
};
struct MostFlow {
  Flow flow;
  friend bool operator==(const MostFlow&, const MostFlow&) = default;
};
struct MostVolumeARun {
  Volume volume;
  friend bool operator==(const MostVolumeARun&, const MostVolumeARun&) = default;
};
struct MostVolumeADay {
  Volume volume;
  friend bool operator==(const MostVolumeADay&, const MostVolumeADay&) = default;
};
struct LeastResidual {
  Concentration residual;
  friend bool operator==(const LeastResidual&, const LeastResidual&) = default;
};
using LimitRule = std::variant<ForbiddenHours, MostFlow, MostVolumeARun, MostVolumeADay, LeastResidual>;

// What a limit covers.
enum class LimitScope { kSystem, kZone, kPoint };

// One limit of the user's, with where it comes from. The product ships none.
struct Limit {
  LimitId id;
  LimitScope scope = LimitScope::kSystem;
  std::string subject;  // name of the zone or code of the point; empty for the system
  LimitRule rule;
  std::string source;  // the source box: "discharge permit 12, clause 4", "head teacher, by phone"
  friend bool operator==(const Limit&, const Limit&) = default;
};

std::string_view ToText(LimitScope scope);  // "system", "zone", "point"

// "not from 07:15 to 09:00, Monday to Friday", "at most 2.5 L/s", ...
std::string Describe(const LimitRule& rule);

}  // namespace lastreach
