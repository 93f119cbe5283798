#pragma once

#include <memory>
#include <vector>

#include "calendar/runs.h"
#include "core/result.h"
#include "core/zone.h"
#include "together/planning_network.h"

namespace lastreach {

// What one plan after another does to the water of a network, told many times sooner than JudgeOnNetwork
// does:
//
//   branches without a device are lumped (lump_trees.h), which changes nothing for the others;
//   a device draws in each hour what it draws in that hour, evenly: what is told are means over hours;
//   a plan finds the water that the one before left, and has some days to work on it before it is judged;
//   as many days are judged as go by until all comes round: one where every day is alike and there are no
//   tanks, a week, or the fortnight of JudgeOnNetwork.
//
// ERROR: that of the hours, some hundredths of mg/L at most (network_watch_test.cc; against the network to
// the minute: bench/whole_year_benchmark). COST: some tens of nanoseconds a link and hour. DETERMINISM: the
// same duties in the same order give the same answers. THREADS: one object, one thread. REQUIRES: what it is
// made of outlives it.
class NetworkWatch {
 public:
  // ERROR: what NetworkTransport::Make gives.
  static Result<NetworkWatch> Make(const PlanningNetwork& network, const Zone& zone, DateWindow season);
  ~NetworkWatch();
  NetworkWatch(NetworkWatch&&) noexcept;
  NetworkWatch& operator=(NetworkWatch&&) noexcept;

  // Of each placed device; `duties`: as JudgeOnNetwork.
  // ERROR: what hydraulics and transport give; kInternal for sizes that differ.
  Result<std::vector<NetworkFinding>> Judge(const std::vector<DeviceDuty>& duties);

 private:
  class Impl;
  explicit NetworkWatch(std::unique_ptr<Impl> impl);
  std::unique_ptr<Impl> impl_;
};

}  // namespace lastreach
