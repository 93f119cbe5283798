#pragma once

#include <cstdint>
#include <utility>
#include <vector>

#include "together/together_devices.h"

namespace lastreach {

// How much of each way of a device: one way wholly, or shares where a programme is relaxed.
using WayShares = std::vector<std::pair<uint32_t, double>>;

// When each way of each device opens its valve by the time of the place: with its clock right, and with a
// clock up to some minutes out. Standard and summer time are kept apart, for clocks that do not follow the
// change run an hour later by summer time. Where all days are alike a
// day stands for the week, unless told otherwise.
class TimeTable {
 public:
  struct Options {
    bool standard_time = true;
    bool summer_time = false;
    int clock_off_min = 60;
    bool whole_week = false;  // even where all days are alike
  };
  TimeTable(const std::vector<TogetherDevice>& devices, const Options& options);

  int period_min() const { return period_min_; }  // 1440 or 10080
  int regimes() const { return static_cast<int>(right_.size()); }
  size_t devices() const { return right_.front().size(); }
  size_t ways(size_t device) const { return right_.front()[device].size(); }
  const OpenTimes& Right(int regime, size_t device, size_t way) const {
    return right_[static_cast<size_t>(regime)][device][way];
  }
  const OpenTimes& May(int regime, size_t device, size_t way) const {
    return may_[static_cast<size_t>(regime)][device][way];
  }
  // Of the two, by how careful one is with this device.
  const OpenTimes& At(bool may_be_wrong, int regime, size_t device, size_t way) const {
    return may_be_wrong ? May(regime, device, way) : Right(regime, device, way);
  }

 private:
  using Times = std::vector<std::vector<OpenTimes>>;  // by device, then way
  int period_min_ = kMinutesAWeek;
  std::vector<Times> right_, may_;  // by regime
};

}  // namespace lastreach
