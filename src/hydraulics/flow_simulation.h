#pragma once

#include <memory>

#include "core/result.h"
#include "hydraulics/core_solve.h"
#include "hydraulics/flow_period.h"
#include "hydraulics/flow_simulation_summary.h"
#include "network/network.h"

namespace lastreach {

struct FlowSimulationOptions {
  // Change the answer.
  double hours = 24;             // from hour 0, which is midnight
  double report_step_s = 0;      // periods are cut at its multiples as well; 0: no cuts. Flows stay the same
  double longest_step_s = 3600;  // over which levels of tanks are carried in one step
  double level_tolerance_m = 0.005;  // error of a level that one step may add
  double still_level_m = 0.001;  // a tank whose level has moved less than this since a state was solved still
                                 // has that state
  CoreOptions core = {};
  // Changes the speed: room for states that may come again, where no tank has levels. A state of a million
  // links takes 11 MB.
  size_t kept_states_bytes = size_t{1} << 30U;
};

// Flows of a network from hour 0 on, stretch by stretch.
//
//   auto simulation = FlowSimulation::Make(network, {.hours = 168});
//   if (!simulation.ok()) return simulation.error();
//   FlowPeriod period;
//   for (;;) {
//     const Result<bool> more = simulation->Next(period);
//     if (!more.ok()) return more.error();
//     if (!*more) break;
//     Use(period);
//   }
//   simulation->summary().BriefReport(network);
//
// Between events flows stay as they are. An event is a whole hour at which a pattern changes, a device
// opening or shutting, a rule (link_rules.h), a tank full, empty or at the mark of a rule, and where tanks
// move the end of a step. A full tank only gives, an empty one only fills.
//
//   A dL/dt = Q(L)
//
// for the levels L of all tanks is carried by steps whose flows Q solve, with the heads of the whole network,
//
//   Q = Q(L + s dt Q/A)
//
// s a half where levels move slowly (the implicit midpoint rule) and nearer to 1 where a tank comes to rest
// within the step (level_step.h), so tanks that are joined by a wide main do not swing. Within a step levels
// are straight lines, so they come to a mark at an exact time, and volumes change by flow times time. Heads
// of a period are those of that moment of the step.
//
// ERROR: order 2 in the step; the error a step adds is kept below the tolerance as the flows at its start and
// those of the step tell it. Halve both the longest step and the tolerance to see.
// COST: none for a state that was solved before, where no tank has levels; else one steady state for each
// event, and where tanks move one or two for each step. None where nothing that matters has changed. THREADS:
// one object, one thread.
class FlowSimulation {
 public:
  // ERROR: kBadInput as SolveSteady, and of rules and tanks at fault; kBadRequest for options out of range.
  // REQUIRES: `network` outlives the simulation and does not change.
  static Result<FlowSimulation> Make(const Network& network, const FlowSimulationOptions& options = {});
  ~FlowSimulation();
  FlowSimulation(FlowSimulation&&) noexcept;
  FlowSimulation& operator=(FlowSimulation&&) noexcept;

  // The next period, or false at the end. Its spans hold until the next call. What does not converge or is
  // not fed is in the summary, not an error.
  Result<bool> Next(FlowPeriod& period);
  const FlowSimulationSummary& summary() const;

 private:
  class Impl;
  explicit FlowSimulation(std::unique_ptr<Impl> impl);
  std::unique_ptr<Impl> impl_;
};

}  // namespace lastreach
