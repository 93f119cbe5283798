#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/result.h"
#include "network/network.h"
#include "together/pressure_judge.h"
#include "together/together_devices.h"

namespace lastreach {

// What one device does to the speed of water in a main that carries it.
struct SpeedInMain {
  LinkIndex link{};
  double change_m_per_s = 0;      // while it is open, against the same hour without
  double with_m_per_s = 0;        // while it is open
  double daily_most_m_per_s = 0;  // with no device open, over all hours
};

struct DeviceSpeeds {
  std::vector<SpeedInMain> mains;  // where the change is felt, its own branch left out
  std::vector<SpeedInMain> branch;
  double branch_reynolds = 0;  // the least along the branch; 0 where it stands at a main
};

// Of each device alone, at the hour of most use among those in which its way runs (any hour where it has
// none). The branch is what lies between the device and `root`, where the well-fed main begins; where that is
// not known, up to the first fork or loop. COST: a steady state a device. ERROR: kBadInput, as SteadySolver.
Result<std::vector<DeviceSpeeds>> SpeedsOf(const PressureMoments& moments,
                                           const std::vector<DrawingPoint>& points,
                                           const std::vector<std::optional<NodeIndex>>& roots,
                                           const std::vector<OpenTimes>& open);

struct VelocityOptions {
  double harmless_m_per_s = 0.2;  // mains that see this daily keep themselves clean. SOURCE: together.md
  double times_daily_most = 1.5;
  double turbulent_reynolds = 4000;
};

// Sentences for the device's sheet: the main in which water would move so much faster than it does any day
// that what lies there may be stirred up, and a branch whose flow is not surely turbulent. Empty for most.
std::vector<std::string> VelocityCautions(const Network& network, const DeviceSpeeds& speeds,
                                          const VelocityOptions& options = {});

}  // namespace lastreach
