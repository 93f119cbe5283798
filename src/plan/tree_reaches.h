#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "calendar/settings.h"
#include "plan/facts.h"

namespace lastreach {

// Devices whose reaches begin with the same pipe of the same main: what one draws freshens the pipes they
// share. Numbers are places in the list asked about, ascending.
struct ReachTree {
  std::vector<size_t> devices;
};

// Every device in one tree, those that share nothing (or do not say) each in its own. In order of their first
// device.
std::vector<ReachTree> TreesOf(const std::vector<DeviceFacts>& devices);

// How many pipes two reaches have in common from the main on.
size_t SharedPipes(const DeviceFacts& a, const DeviceFacts& b);

// The facts of one device with the others of its tree drawing beside it as they are set. What was beside it
// already stays. REQUIRES: settings[k] is that of tree.devices[k].
DeviceFacts WithNeighbours(const std::vector<DeviceFacts>& devices, const ReachTree& tree, size_t member,
                           std::span<const TimerSettings> settings);

}  // namespace lastreach
