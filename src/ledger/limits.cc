#include "ledger/limits.h"

#include <cstdio>

#include "core/words.h"
#include "ledger/months.h"

namespace lastreach {
namespace {

std::string Number(double value, const char* unit) {
  char text[48];
  std::snprintf(text, sizeof text, "%.3g %s", value, unit);
  return text;
}

struct Describer {
  std::string operator()(const ForbiddenHours& hours) const {
    return "not from " + FormatTimeOfDay(hours.from_min) + " to " + FormatTimeOfDay(hours.to_min) + ", " +
           Describe(DayPattern(hours.days));
  }
  std::string operator()(const MostFlow& most) const {
    return "at most " + Number(most.flow.litres_per_second(), "L/s");
  }
  std::string operator()(const MostVolumeARun& most) const {
    return "at most " + Number(most.volume.cubic_metres(), "m3 a run");
  }
  std::string operator()(const MostVolumeADay& most) const {
    return "at most " + Number(most.volume.cubic_metres(), "m3 a day");
  }
  std::string operator()(const LeastResidual& least) const {
    return "residual at least " + Number(least.residual.milligrams_per_litre(), "mg/L");
  }
  std::string operator()(const LeastPressure& least) const {
    return "pressure at least " + Number(least.pressure.metres_of_water(), "m of water");
  }
  std::string operator()(const MostTogether& most) const {
    return "at most " + std::to_string(most.devices) + (most.devices == 1 ? " device" : " devices") +
           " open at once";
  }
  std::string operator()(const LeastTankLevel& least) const {
    return "level in " + least.tank + " at least " + Number(least.level.metres(), "m");
  }
  std::string operator()(const FrostMonths& frost) const {
    const std::string from(MonthWord(frost.from_month)), to(MonthWord(frost.to_month));
    return (from == to ? "not in " + from : "not from " + from + " to " + to) +
           (frost.discharge ? ", where water goes to: " + std::string(ToText(*frost.discharge)) : "");
  }
  std::string operator()(const DroughtStage& drought) const {
    return "in drought stage " + std::to_string(drought.stage) + " at most " +
           Number(drought.volume_a_day.cubic_metres(), "m3 a day");
  }
  std::string operator()(const MostVolumeBetweenRefills& most) const {
    return "at most " + Number(most.volume.cubic_metres(), "m3 between refills of the dechlorination");
  }
  std::string operator()(const LeastFlushEvery& least) const {
    return least.days == 1 ? "flushed at least every day"
                           : "flushed at least every " + std::to_string(least.days) + " days";
  }
};

template <typename... Rules>
bool IsOneOf(const LimitRule& rule) {
  return (std::holds_alternative<Rules>(rule) || ...);
}

}  // namespace

std::string_view ToText(LimitScope scope) {
  switch (scope) {
    case LimitScope::kSystem:
      return "system";
    case LimitScope::kZone:
      return "zone";
    case LimitScope::kPoint:
      return "point";
  }
  return "system";
}

Result<LimitScope> ParseLimitScope(std::string_view text) {
  constexpr LimitScope kAll[] = {LimitScope::kSystem, LimitScope::kZone, LimitScope::kPoint};
  return ParseByWord(text, kAll, "the scope of a limit");
}

Status CheckScope(const LimitRule& rule, LimitScope scope) {
  const bool of_many = IsOneOf<LeastPressure, MostTogether, LeastTankLevel, DroughtStage>(rule);
  if (of_many && scope == LimitScope::kPoint) {
    return BadInput("a limit of this kind is for a zone or the system, not for one point");
  }
  if (IsOneOf<MostVolumeBetweenRefills>(rule) && scope != LimitScope::kPoint) {
    return BadInput("a limit of this kind is for one point");
  }
  return Ok();
}

bool IsKeptTogether(const Limit& limit) {
  return limit.scope != LimitScope::kPoint &&
         IsOneOf<MostVolumeADay, LeastPressure, MostTogether, LeastTankLevel, DroughtStage>(limit.rule);
}

bool IsWithin(LimitScope scope, const std::string& subject, const FlushPoint& point) {
  switch (scope) {
    case LimitScope::kSystem:
      return true;
    case LimitScope::kZone:
      return subject == point.supply_zone;
    case LimitScope::kPoint:
      return subject == point.code.text();
  }
  return false;
}

bool Binds(const Limit& limit, const FlushPoint& point) {
  const auto* frost = std::get_if<FrostMonths>(&limit.rule);
  if (frost != nullptr && frost->discharge && *frost->discharge != point.discharge) return false;
  return IsWithin(limit.scope, limit.subject, point);
}

std::string Describe(const LimitRule& rule) { return std::visit(Describer{}, rule); }

}  // namespace lastreach
