#pragma once

#include <cstddef>
#include <vector>

#include "core/zone.h"
#include "plan/device_plan.h"
#include "plan/facts.h"
#include "together/planning_network.h"
#include "together/pressure_judge.h"
#include "together/together_devices.h"

namespace lastreach {

// Parts of a season with the clock as it stands, and an hour on.
struct SeasonClocks {
  bool standard_time = false;
  bool summer_time = false;
};
SeasonClocks ClocksOf(const Zone& zone, DateWindow season);

// In what order devices are judged together: those that stand on the network first. The others draw nothing
// there, at a node that is judged anyway.
struct JudgedOrder {
  std::vector<std::size_t> devices;
  std::size_t placed = 0;
  std::vector<DrawingPoint> points;  // as devices; empty where none is placed
};
JudgedOrder OrderOf(const PlanningNetwork& network, const std::vector<DeviceFacts>& devices);

// A device with one way, that of its plan; without runs where it is off or has no answer and is off now.
TogetherDevice AsPlanned(const DeviceFacts& facts, const DevicePlan& plan);

}  // namespace lastreach
