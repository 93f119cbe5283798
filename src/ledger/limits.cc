#include "ledger/limits.h"

#include <cstdio>

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
};

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

std::string Describe(const LimitRule& rule) { return std::visit(Describer{}, rule); }

}  // namespace lastreach
