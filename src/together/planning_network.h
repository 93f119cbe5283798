#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <vector>

#include "calendar/controller_form.h"
#include "calendar/settings.h"
#include "core/civil_time.h"
#include "core/zone.h"
#include "network/network.h"

namespace lastreach {

// A device where it stands on the whole network.
struct PlacedDevice {
  std::size_t device = 0;  // which of the devices planned
  NodeIndex node{};        // where it draws
  NodeIndex root{};        // the well-fed tee its reach begins at
  // Where the residual is judged: the customers of its reach, the last one last; the end where there are
  // none.
  std::vector<NodeIndex> judged;
};

// The whole network in one season: the water of its zones as warm as in that season's worst week, customers
// with their hours, and no device drawing. Placed devices are in rising order of `device`.
struct PlanningNetwork {
  Network network;
  std::vector<PlacedDevice> placed;
};

// What a device is set to while the network is judged.
struct DeviceDuty {
  ControllerForm form;
  TimerSettings settings;
  double flow_m3_per_s = 0;
  int clock_fast_min = 0;
};

// What the network does to one device's reach.
struct NetworkFinding {
  // The lowest residual at the root in each hour of the local day, over all days judged [mg/L]: of the mean
  // over about two hours, (c(t - 1 h) + 2 c(t) + c(t + 1 h)) / 4. A wisp of old water that turns back at a
  // tee is no supply.
  std::array<double, 24> root_mg_per_l_by_hour{};
  // The lowest at any judged place, mean over an hour, and where.
  double lowest_mg_per_l = 0;
  NodeIndex lowest_at{};

  double root_lowest_mg_per_l() const;
};

struct NetworkJudgement {
  std::vector<NetworkFinding> devices;  // as PlanningNetwork::placed
  double lowest_pressure_m = 0;         // where anything is drawn, any moment
  NodeIndex lowest_pressure_at{};
  double lowest_pressure_hour = 0;
  int warm_up_weeks = 0;
};

}  // namespace lastreach
