#pragma once

#include <optional>
#include <string>
#include <vector>

#include "hydraulics/solve.h"
#include "hydraulics/supply.h"
#include "network/network.h"

namespace lastreach {

// What a simulation of flows has to say of itself, as far as it has come.
struct FlowSimulationSummary {
  struct LowPressure {
    NodeIndex node{};
    double hour = 0;
    double pressure_m = 0;
  };
  struct NotFed {
    NodeIndex node{};
    double first_hour = 0;
    double hours = 0;  // in all
  };
  struct Unsettled {
    LinkIndex link{};
    double first_hour = 0;
    double hours = 0;  // in all
  };

  double hours = 0;    // simulated
  size_t periods = 0;  // handed out
  size_t solves = 0;   // steady states solved for them
  size_t reused = 0;   // stretches of time whose state was there already
  int iterations = 0;  // of all solves
  // The worst of all states handed out, as SteadySummary has them.
  double mass_imbalance_m3_per_s = 0;
  double energy_imbalance_m = 0;
  std::optional<LowPressure> lowest_pressure;  // of junctions where something is drawn
  std::vector<NotFed> not_fed;                 // in order of time; each node once
  std::vector<Unsettled> unsettled;            // where heads and flows fight; each link once
  double unsettled_hours = 0;                  // whose state did not converge

  double given_m3 = 0;        // by sources and tanks of fixed head, less what they took
  double drawn_m3 = 0;        // at junctions: customers, devices, leaks, less what is put in
  double tank_change_m3 = 0;  // of all tanks with levels
  double Imbalance_m3() const { return given_m3 - drawn_m3 - tank_change_m3; }

  double solve_s = 0;  // wall time of the solver
  double total_s = 0;

  // Whether every state is one to rely on.
  bool IsUsable() const { return unsettled_hours == 0; }
  // "168 h in 171 periods, 168 solved; lowest pressure 21.3 m at N7, hour 7.0; 2 nodes were not fed, ...".
  std::string BriefReport(const Network& network) const;
};

// Fills a summary, period by period.
class FlowSimulationAccount {
 public:
  explicit FlowSimulationAccount(const Network& network);
  void AddSolve(const SteadySummary& solved, double wall_s);
  void AddReuse() { ++summary_.reused; }
  // A stretch of one state, then each period of it.
  void AddStretch(const SteadyState& state, const Supply& supply, double begin_s, double end_s);
  void AddPeriod(double end_s);
  void AddWallTime(double seconds) { summary_.total_s += seconds; }
  const FlowSimulationSummary& summary() const { return summary_; }

 private:
  void AddWater(const SteadyState& state, double seconds);
  void AddPressure(const SteadyState& state, const Supply& supply, double hour);
  void AddTrouble(const SteadySummary& solved, double hour, double hours);

  // What water that leaves the network at a node is counted as: put by, given back, or drawn.
  enum class Side : char { kHolds, kGives, kDraws };

  const Network* network_;
  FlowSimulationSummary summary_;
  std::vector<Side> side_;               // size nodes
  std::vector<double> judged_above_m_;   // size nodes: elevations; NaN where no pressure is judged
  std::vector<uint32_t> place_of_node_;  // in not_fed, one more; 0 for none; size nodes
  std::vector<uint32_t> place_of_link_;  // in unsettled, the same; size links
};

}  // namespace lastreach
