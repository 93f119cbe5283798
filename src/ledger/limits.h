#pragma once

#include <optional>
#include <string>
#include <variant>

#include "calendar/settings.h"
#include "core/ids.h"
#include "core/quantity.h"
#include "core/result.h"
#include "ledger/flush_point.h"

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
// Wherever customers draw, while devices are open.
struct LeastPressure {
  Pressure pressure;
  friend bool operator==(const LeastPressure&, const LeastPressure&) = default;
};
struct MostTogether {
  int devices = 1;  // open at the same moment
  friend bool operator==(const MostTogether&, const MostTogether&) = default;
};
struct LeastTankLevel {
  std::string tank;  // its name on the map
  Length level;      // above its floor
  friend bool operator==(const LeastTankLevel&, const LeastTankLevel&) = default;
};
// Months in which water on the ground would freeze: the outlet must not run. Both months are taken in; to <
// from reaches over the new year.
struct FrostMonths {
  int from_month = 11;
  int to_month = 3;
  std::optional<DischargeTo> discharge;  // only points whose water goes there; none: all the limit covers
  friend bool operator==(const FrostMonths&, const FrostMonths&) = default;
};
// What all devices together may use while the stage is declared. MostVolumeADay is what is always in force.
struct DroughtStage {
  int stage = 1;
  Volume volume_a_day;
  friend bool operator==(const DroughtStage&, const DroughtStage&) = default;
};
// What one charge of the outlet's dechlorination treats.
struct MostVolumeBetweenRefills {
  Volume volume;
  friend bool operator==(const MostVolumeBetweenRefills&, const MostVolumeBetweenRefills&) = default;
};
// A duty rather than a limit: "dead ends are flushed every month".
struct LeastFlushEvery {
  int days = 30;  // from one flush to the next at most
  friend bool operator==(const LeastFlushEvery&, const LeastFlushEvery&) = default;
};
using LimitRule = std::variant<ForbiddenHours, MostFlow, MostVolumeARun, MostVolumeADay, LeastResidual,
                               LeastPressure, MostTogether, LeastTankLevel, FrostMonths, DroughtStage,
                               MostVolumeBetweenRefills, LeastFlushEvery>;

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
Result<LimitScope> ParseLimitScope(std::string_view text);

// Whether a rule can be for that much: a pressure is a zone's or the system's, a refill one point's.
// ERROR: kBadInput saying what the rule is for.
Status CheckScope(const LimitRule& rule, LimitScope scope);

// Whether it is kept by devices together, so that no one of them can be planned for it alone.
bool IsKeptTogether(const Limit& limit);

// Whether the point is within the scope, and whether the limit binds it: frost months may be for one way of
// discharge only.
bool IsWithin(LimitScope scope, const std::string& subject, const FlushPoint& point);
bool Binds(const Limit& limit, const FlushPoint& point);

// "not from 07:15 to 09:00, Monday to Friday", "at most 2.5 L/s", "not from November to March", ...
std::string Describe(const LimitRule& rule);

}  // namespace lastreach
