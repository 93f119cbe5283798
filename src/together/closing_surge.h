#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "network/network.h"
#include "together/device_speeds.h"
#include "together/together_devices.h"

namespace lastreach {

struct ClosingOptions {
  double wave_m_per_s = 1200;  // of pressure in ductile iron; 300 to 500 in plastic. From memory
  double worth_it_m = 10;      // sudden rises below this are left alone
  int most_minutes = 5;        // a device's runs are moved no further
};

// Devices that shut in the same minute, and the main in which that stops water most.
struct ClosingTogether {
  int minute = 0;               // of the week, by clocks that are right
  std::vector<size_t> devices;  // by number
  LinkIndex link{};
  double stopped_m_per_s = 0;  // sum of their changes there
  double sudden_m = 0;         // a dv / g: what valves that shut at once could cause

  std::string Words(const Network& network, const std::vector<TogetherDevice>& all) const;
};

// Closings of several devices in one minute whose sudden rise is worth naming, the worst first; each once,
// however many days it comes. `open`: of each device, by clocks that are right; `later_min`: how much later
// than that all its runs are.
std::vector<ClosingTogether> ClosingsTogether(const std::vector<OpenTimes>& open,
                                              const std::vector<DeviceSpeeds>& speeds,
                                              const std::vector<int>& later_min,
                                              const ClosingOptions& options = {});

// How much later each device's runs should begin so that fewer close together: 0 for most. Where a closing is
// worth naming, a device of it is moved to the minute, up to `most_minutes` later, in which the mains it
// shares feel the least, if that is less than now. `may_move`: whether the timer takes such a start. It costs
// no water; that the other limits still hold is for the caller to check (KeepsTogether in stagger.h).
std::vector<int> SpreadClosings(const std::vector<OpenTimes>& open, const std::vector<DeviceSpeeds>& speeds,
                                const std::function<bool(size_t device, int later_min)>& may_move,
                                const ClosingOptions& options = {});

}  // namespace lastreach
