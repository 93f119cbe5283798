#pragma once

#include <memory>

#include "core/result.h"
#include "hydraulics/flow_simulation.h"

namespace lastreach {

// The periods of a FlowSimulation, worked out ahead by a thread of its own while the caller uses those
// before. The same periods in the same order as without; a few are held at once.
//
// THREADS: one caller. REQUIRES: the network outlives it and does not change.
class PeriodStream {
 public:
  // ERROR: as FlowSimulation::Make.
  static Result<PeriodStream> Begin(const Network& network, const FlowSimulationOptions& options);
  ~PeriodStream();  // stops the thread, whether or not all was asked for
  PeriodStream(PeriodStream&&) noexcept;
  PeriodStream& operator=(PeriodStream&&) noexcept;

  // The next period, or false at the end. Its spans hold until the next call. ERROR: as FlowSimulation::Next.
  Result<bool> Next(FlowPeriod& period);
  // REQUIRES: Next has given false.
  const FlowSimulationSummary& summary() const;
  double solving_s() const;  // what the thread has worked; wall time

 private:
  class Impl;
  explicit PeriodStream(std::unique_ptr<Impl> impl);
  std::unique_ptr<Impl> impl_;
};

}  // namespace lastreach
