#pragma once

#include <cstdint>
#include <vector>

#include "core/result.h"
#include "hydraulics/supply.h"
#include "network/network.h"

namespace lastreach {

// What acts on a network as time goes on, without looking up a pattern or a run by name: SupplyAt() again and
// again. Factors of patterns change at whole hours and repeat; a run of a device begins and ends to the
// millisecond, and runs of one node add up.
//
//   auto schedule = SupplySchedule::Make(network);
//   Supply supply = schedule->Begin();
//   for (double t = 0; t < end_s; t = schedule->NextChange_s(t)) schedule->Update(t, supply);
//
// COST: a change of factors a pass over the nodes; of runs alone a pass over the runs.
class SupplySchedule {
 public:
  // ERROR: as SupplyAt, for any run at any time. REQUIRES: `network` outlives the schedule.
  static Result<SupplySchedule> Make(const Network& network);

  // At second 0. Nothing is shut, tanks are free and at the levels the network has.
  const Supply& Begin() const { return begin_; }
  // Sets demands, heads of sources and openings to those of `second`; leaves tanks and what is shut as they
  // are. Gives whether anything changed. REQUIRES: `supply` came from Begin() and went through every update.
  bool Update(double second, Supply& supply);
  // What Update last set, in few numbers: equal exactly where demands, heads and openings are.
  std::vector<double> Signature() const;
  // The first time after `second` when Update may change something; infinity if there is none.
  double NextChange_s(double second) const;

 private:
  static constexpr uint32_t kNoPattern = UINT32_MAX;
  struct Run {
    NodeIndex node{};
    double begin_s = 0;
    double end_s = 0;
    double flow_m3_per_s = 0;  // or through an opening:
    double conductance_m25_per_s = 0;
    double outlet_m = 0;
  };

  std::vector<double> FactorsAt(double second) const;
  bool IsOn(const Run& run, double second) const { return run.begin_s <= second && second < run.end_s; }
  Status AddRun(const Network& network, const NodeRun& run);
  void SetFactors(std::vector<double> factors, Supply& supply);
  void SetRuns(double second, Supply& supply);
  double NextFactors_s(double second) const;
  double Demand(size_t node) const;

  std::vector<double> base_demand_m3_per_s_;   // size nodes; average
  std::vector<double> base_head_m_;            // size nodes; of sources, NaN elsewhere
  std::vector<uint32_t> pattern_;              // size nodes: number in patterns_, or kNoPattern
  std::vector<std::vector<double>> patterns_;  // those in use
  std::vector<Run> runs_;
  std::vector<double> changes_s_;  // of runs, ascending
  size_t leaks_ = 0;               // openings that are always there, first in the list
  std::vector<double> factors_;    // now, of each of patterns_
  std::vector<char> on_;           // now, of each of runs_
  Supply begin_;
};

}  // namespace lastreach
