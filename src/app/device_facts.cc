#include "app/device_facts.h"

#include <algorithm>

#include "app/map_source.h"
#include "app/reach_from_map.h"
#include "ends/quiet_places.h"

namespace lastreach {
namespace {

void ListUndescribed(std::vector<Undescribed>& list, Undescribed::What what, const std::string& name,
                     const FlushPoint& point) {
  auto found = std::find_if(list.begin(), list.end(),
                            [&](const Undescribed& u) { return u.what == what && u.name == name; });
  if (found == list.end()) found = list.insert(list.end(), {what, name, {}});
  found->devices.push_back(point.code.text());
}

// Puts every point with a position on the map and fills in reaches nobody typed.
Status LookAtMap(const Project& project, ProjectFacts& facts) {
  const auto has_position = [](const auto& point) { return point.position.has_value(); };
  const bool any = std::any_of(facts.devices.begin(), facts.devices.end(),
                               [&](const DeviceFacts& device) { return has_position(device.point); }) ||
                   std::any_of(facts.hand_points.begin(), facts.hand_points.end(), has_position);
  if (!any) return Ok();
  const auto network = project.LoadNetwork();
  if (!network.ok()) return network.error();
  if (!*network || !HasPlaces(**network)) return Ok();
  const std::vector<QuietPlace> places = FindQuietPlaces(**network);
  const auto look = [&](const FlushPoint& point) {
    OnMap on_map;
    on_map.point = point.code;
    const QuietPlace* place = PlaceNear(places, *point.position);
    if (place != nullptr) {
      on_map.place = place->id;
      on_map.distance_m = DistanceTo_m(*place, *point.position);
      on_map.traced = PipesOf(**network, *place);
    }
    facts.on_map.push_back(on_map);
    return place;
  };
  std::vector<DeviceFacts*> filled_in;
  std::vector<const QuietPlace*> at;
  const auto take = [&](DeviceFacts& facts_of) {
    const QuietPlace* place = look(facts_of.point);
    OnMap& on_map = facts.on_map.back();
    if (!facts_of.reach.pipes.empty() || on_map.traced.empty()) return;
    on_map.used = true;
    filled_in.push_back(&facts_of);
    at.push_back(place);
  };
  for (DeviceFacts& device : facts.devices) {
    if (device.point.position) take(device);
  }
  const size_t devices = filled_in.size();
  for (DeviceFacts& end : facts.hand_ends) {
    if (end.point.position) take(end);
  }
  const std::vector<NamedPipes> named = NamedPipesOf(**network, at);
  for (size_t i = 0; i < filled_in.size(); ++i) {
    filled_in[i]->reach.pipes = named[i].pipes;
    // What hand ends share is of no use: nobody counts on a crew.
    if (i < devices) filled_in[i]->pipe_ids = named[i].ids;
  }
  return Ok();
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
    if (IsKeptTogether(limit)) facts.together.push_back(limit);
  }
  for (const FlushPoint& point : *points) {
    if (point.position) latitudes += point.position->latitude_deg;
    const bool by_hand = point.kind == PointKind::kHand;
    DeviceFacts device;
    device.point = point;
    device.form.name = point.controller;
    const auto form = std::find_if(forms->begin(), forms->end(),
                                   [&](const ControllerForm& f) { return f.name == point.controller; });
    if (form != forms->end()) {
      device.form = *form;
    } else if (!point.controller.empty() && !by_hand) {
      ListUndescribed(facts.undescribed, Undescribed::What::kTimer, point.controller, point);
    }
    device.supply.name = point.supply_zone;
    const auto zone = std::find_if(zones->begin(), zones->end(),
                                   [&](const SupplyZone& z) { return z.name == point.supply_zone; });
    if (zone != zones->end()) {
      device.supply = *zone;
    } else if (!point.supply_zone.empty() && !by_hand) {
      ListUndescribed(facts.undescribed, Undescribed::What::kZone, point.supply_zone, point);
    }
    const auto reach = project.ReachOf(point.code);
    if (!reach.ok()) return reach.error();
    if (*reach) device.reach = **reach;
    for (const Limit& limit : *limits) {
      if (!IsKeptTogether(limit) && Binds(limit, point)) device.limits.push_back(limit);
    }
    if (by_hand) {
      facts.hand_points.push_back(point);
      facts.hand_ends.push_back(std::move(device));
      continue;
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
  if (const Status looked = LookAtMap(project, facts); !looked.ok()) return looked.error();
  return facts;
}

}  // namespace lastreach
