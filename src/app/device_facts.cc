#include "app/device_facts.h"

#include <algorithm>

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

void ListUndescribed(std::vector<Undescribed>& list, Undescribed::What what, const std::string& name,
                     const FlushPoint& point) {
  auto found = std::find_if(list.begin(), list.end(),
                            [&](const Undescribed& u) { return u.what == what && u.name == name; });
  if (found == list.end()) found = list.insert(list.end(), {what, name, {}});
  found->devices.push_back(point.code.text());
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
    const auto form = std::find_if(forms->begin(), forms->end(),
                                   [&](const ControllerForm& f) { return f.name == point.controller; });
    if (form != forms->end()) {
      device.form = *form;
    } else if (!point.controller.empty()) {
      ListUndescribed(facts.undescribed, Undescribed::What::kTimer, point.controller, point);
    }
    device.supply.name = point.supply_zone;
    const auto zone = std::find_if(zones->begin(), zones->end(),
                                   [&](const SupplyZone& z) { return z.name == point.supply_zone; });
    if (zone != zones->end()) {
      device.supply = *zone;
    } else if (!point.supply_zone.empty()) {
      ListUndescribed(facts.undescribed, Undescribed::What::kZone, point.supply_zone, point);
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
