#include "app/device_facts.h"

#include <algorithm>
#include <map>

namespace lastreach {
namespace {

bool IsTogether(const Limit& limit) {
  return limit.scope != LimitScope::kPoint && std::holds_alternative<MostVolumeADay>(limit.rule);
}

bool Covers(const Limit& limit, const FlushPoint& point) {
  switch (limit.scope) {
    case LimitScope::kSystem:
      return true;
    case LimitScope::kZone:
      return limit.subject == point.supply_zone;
    case LimitScope::kPoint:
      return limit.subject == point.code.text();
  }
  return false;
}

template <typename T, typename Name>
Result<T> FindNamed(const std::vector<T>& all, const std::string& name, Name name_of, const FlushPoint& point,
                    const std::string& what) {
  for (const T& one : all) {
    if (name_of(one) == name) return one;
  }
  return BadInput("device " + point.code.text() + " names the " + what + " '" + name +
                  "', which the project does not have; import it first");
}

}  // namespace

Result<ProjectFacts> FactsOf(const Project& project) {
  const auto points = project.FlushPoints();
  if (!points.ok()) return points.error();
  const auto forms = project.ControllerForms();
  if (!forms.ok()) return forms.error();
  const auto zones = project.SupplyZones();
  if (!zones.ok()) return zones.error();
  const auto limits = project.Limits();
  if (!limits.ok()) return limits.error();

  ProjectFacts facts;
  double latitudes = 0;
  for (const Limit& limit : *limits) {
    if (IsTogether(limit)) facts.together.push_back(limit);
  }
  for (const FlushPoint& point : *points) {
    if (point.position) latitudes += point.position->latitude_deg;
    if (point.kind == PointKind::kHand) {
      facts.hand_points.push_back(point);
      continue;
    }
    DeviceFacts device;
    device.point = point;
    device.form.name = point.controller;
    if (!point.controller.empty()) {
      auto form = FindNamed(
          *forms, point.controller, [](const ControllerForm& f) { return f.name; }, point, "timer");
      if (!form.ok()) return form.error();
      device.form = *form;
    }
    if (!point.supply_zone.empty()) {
      auto zone = FindNamed(
          *zones, point.supply_zone, [](const SupplyZone& z) { return z.name; }, point, "zone");
      if (!zone.ok()) return zone.error();
      device.supply = *zone;
    }
    const auto reach = project.ReachOf(point.code);
    if (!reach.ok()) return reach.error();
    if (*reach) device.reach = **reach;
    for (const Limit& limit : *limits) {
      if (!IsTogether(limit) && Covers(limit, point)) device.limits.push_back(limit);
    }
    const auto latest = project.LatestSettings(point.code, {SettingsKind::kAsLeft, SettingsKind::kAsFound});
    if (!latest.ok()) return latest.error();
    if (*latest) {
      device.present = (*latest)->settings;
      device.present_clock_fast_minutes = (*latest)->clock_fast_minutes.value_or(0);
    }
    facts.devices.push_back(std::move(device));
  }
  facts.south = latitudes < 0;
  return facts;
}

}  // namespace lastreach
