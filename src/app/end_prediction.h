#pragma once

#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "app/device_facts.h"
#include "network/network.h"
#include "network/quiet_place.h"
#include "plan/predict.h"

namespace lastreach {

// What an end holds as it is run now.
struct EndOutlook {
  std::string device;  // code of the flush point that stands there; empty for none
  std::optional<LowPrediction> low;
  std::string why_none;  // one sentence where there is no prediction
};

// What is known of devices and water, for predictions. Empty for a folder of plain tables.
struct OutlookFacts {
  std::vector<DeviceFacts> devices;
  std::vector<FlushPoint> hand_points;
  std::vector<SupplyZone> zones;
};

// What is known of a place: all of the device that stands at it, else the supply zone it lies in, the place's
// own by name or the only one there is; and the reach as the map has it, where none was typed.
DeviceFacts FactsAt(const Network& network, const QuietPlace& place, const std::vector<SupplyZone>& zones,
                    const DeviceFacts* device);

// The device that stands at each place, null for none; size places. Of several at one place the last.
std::vector<const DeviceFacts*> DevicesAt(const std::vector<QuietPlace>& places,
                                          const std::vector<DeviceFacts>& devices);

// Whether anyone draws on a place's reach or beyond, so that there is a residual to judge.
bool AnyoneDrawsAt(const QuietPlace& place);

// The outlook of each place, in order: with the present settings of a device that stands at it, else without
// flushing; in the zone of the device, the place's own by name, or the only one there is. On as many threads
// as the machine has cores. Only of the first `count` places, where fewer are wanted: a prediction takes
// longer than all the rest. COST: about 25 ms each on one core.
std::vector<EndOutlook> OutlooksOf(const Network& network, const std::vector<QuietPlace>& places,
                                   const OutlookFacts& facts, const PlanOptions& options,
                                   size_t count = std::numeric_limits<size_t>::max());

}  // namespace lastreach
