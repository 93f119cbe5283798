#include "app/end_prediction.h"

#include <algorithm>
#include <atomic>
#include <thread>

#include "app/reach_from_map.h"

namespace lastreach {
namespace {

const SupplyZone* ZoneOf(const QuietPlace& place, const std::vector<SupplyZone>& zones) {
  const auto named =
      std::find_if(zones.begin(), zones.end(), [&](const SupplyZone& z) { return z.name == place.zone; });
  if (named != zones.end()) return &*named;
  return zones.size() == 1 && place.zone.empty() ? &zones.front() : nullptr;
}

EndOutlook OutlookOf(const Network& network, const QuietPlace& place, const OutlookFacts& known,
                     const DeviceFacts* device, const PlanOptions& options) {
  EndOutlook outlook;
  if (device != nullptr) outlook.device = device->point.code.text();
  if (!AnyoneDrawsAt(place)) {
    outlook.why_none = "no customer draws here";
    return outlook;
  }
  const auto low = PredictLowest(FactsAt(network, place, known.zones, device), options);
  if (low.ok()) {
    outlook.low = *low;
  } else {
    outlook.why_none = low.error().message;
  }
  return outlook;
}

}  // namespace

DeviceFacts FactsAt(const Network& network, const QuietPlace& place, const std::vector<SupplyZone>& zones,
                    const DeviceFacts* device) {
  DeviceFacts facts;
  if (device != nullptr) {
    facts = *device;
  } else if (const SupplyZone* zone = ZoneOf(place, zones)) {
    facts.supply = *zone;
  }
  if (facts.reach.pipes.empty()) facts.reach.pipes = PipesOf(network, place);
  return facts;
}

std::vector<const DeviceFacts*> DevicesAt(const std::vector<QuietPlace>& places,
                                          const std::vector<DeviceFacts>& devices) {
  std::vector<const DeviceFacts*> device_at(places.size(), nullptr);
  for (const DeviceFacts& device : devices) {
    if (!device.point.position) continue;
    const QuietPlace* place = PlaceNear(places, *device.point.position);
    if (place != nullptr) device_at[static_cast<size_t>(place - places.data())] = &device;
  }
  return device_at;
}

bool AnyoneDrawsAt(const QuietPlace& place) {
  return place.services + place.services_beyond > 0 || place.days_to_last_customer;
}

std::vector<EndOutlook> OutlooksOf(const Network& network, const std::vector<QuietPlace>& places,
                                   const OutlookFacts& facts, const PlanOptions& options, size_t count) {
  const std::vector<const DeviceFacts*> device_at = DevicesAt(places, facts.devices);
  std::vector<EndOutlook> outlooks(std::min(count, places.size()));
  std::atomic<size_t> next = 0;
  const auto work = [&] {
    for (size_t i = next++; i < outlooks.size(); i = next++) {
      outlooks[i] = OutlookOf(network, places[i], facts, device_at[i], options);
    }
  };
  std::vector<std::jthread> threads;
  for (unsigned i = 1; i < std::max(1U, std::thread::hardware_concurrency()); ++i) threads.emplace_back(work);
  work();
  threads.clear();
  for (const FlushPoint& point : facts.hand_points) {
    if (!point.position) continue;
    const QuietPlace* place = PlaceNear(places, *point.position);
    if (place == nullptr || static_cast<size_t>(place - places.data()) >= outlooks.size()) continue;
    std::string& device = outlooks[static_cast<size_t>(place - places.data())].device;
    if (device.empty()) device = point.code.text();
  }
  return outlooks;
}

}  // namespace lastreach
