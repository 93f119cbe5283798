#pragma once

#include <memory>

#include "core/result.h"
#include "hydraulics/core_solve.h"
#include "hydraulics/solve.h"
#include "hydraulics/supply.h"
#include "network/network.h"

namespace lastreach {

// The steady state of one network again and again, as demands, tanks, devices and valves change. What depends
// on the pipes alone is worked out once, and each answer begins from the last.
//
//   auto solver = SteadySolver::Make(network);
//   if (!solver.ok()) return solver.error();
//   const auto state = solver->Solve(*SupplyAt(network, hour));   // SteadyState; its summary says how it
//   ended
//
// Trees, chains, numbers and the pattern of the matrix are worked out anew where other nodes are fed than
// before and, once each, where a link is shut, an opening comes or a demand falls short that never has. Where
// only a few demands or openings are others than in the last answer, that is followed: no matrix is factored,
// to the same tolerances or as near as CoreOptions::followed_head_error_m asks, which the summary then states
// (docs/theory/hydraulics.md, 6). COST: for town-like networks of 100,000 links a
// twentieth of a second or so, less from a near answer; docs/performance.md. The answer does not depend on
// what was solved before, beyond the tolerances of the options, but where the states of valves leave more
// than one. THREADS: one object, one thread.
class SteadySolver {
 public:
  // ERROR: as SolveSteady. REQUIRES: `network` outlives the solver and does not change.
  static Result<SteadySolver> Make(const Network& network, const CoreOptions& options = {});
  ~SteadySolver();
  SteadySolver(SteadySolver&&) noexcept;
  SteadySolver& operator=(SteadySolver&&) noexcept;

  // The reference holds until the next call. ERROR: as SolveSteady.
  Result<const SteadyState*> Solve(const Supply& supply);
  // The next answer begins from a flat start.
  void Forget();

 private:
  class Impl;
  explicit SteadySolver(std::unique_ptr<Impl> impl);
  std::unique_ptr<Impl> impl_;
};

}  // namespace lastreach
