#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "hydraulics/core_problem.h"

namespace lastreach {

struct CoreOptions {
  double head_tolerance_m = 1e-7;         // of the loss of every link against the heads at its ends
  double flow_tolerance_m3_per_s = 1e-7;  // what the next step would still move any flow
  int max_iterations = 500;               // steps, of all valve states together
  // How far the heads of an answer that follows from one near it may be from the exact ones, where that is
  // enough: 0.01 to 0.02 for the pressure that is left while a device runs. Mass closes as ever; laws are
  // missed by no more than this all together, and flows off by what that drives. Where it takes more than the
  // slopes of before, all is solved. 0: to the tolerances above.
  double followed_head_error_m = 0;
};

struct CoreOutcome {
  bool converged = false;
  int iterations = 0;               // steps
  int factorisations = 0;           // of those, with the matrix factored anew
  std::vector<uint32_t> unsettled;  // links that fight, where it did not converge
  double factor_s = 0;
  double backsolve_s = 0;
  double laws_s = 0;
  // Where it followed as near as followed_head_error_m asks: no head is further from the exact one, no law
  // missed by more, no more missing at a node. Negative elsewhere.
  double head_error_bound_m = -1;
  double worst_residual_m = -1;
  double worst_missing_m3_per_s = -1;
};

// Heads and flows of the core: mass at every unknown node, the law of every link, the state of every valve.
//
//   A dh = m + N G r,   A = N G N',   dq = G (r - N' dh)
//
// is a step on heads and flows together: m the net inflow that is missing, r what the heads at a link's ends
// differ from its loss, G one over its slope (Newton), or where flows still move over the chord to the flow
// that its heads would drive. SOURCE: Todini and Pilati 1988 (from memory). A step may use the factor of an
// earlier one (core_old_factor.cc).
//
// Every step after the first keeps mass balanced and is shortened until the slope of the content along it has
// fallen by half. Laws rise, so the content is convex and such a share of the step is always there; with
// valves that hold a head there is no content, and what does not settle is named. Such a valve adds its flow
// as an unknown and that head as an equation, by a border of A. Openings, one-way links and limits are held
// by pushes (link_law.h), states of valves found by valve_states.h.
class CoreSolver {
 public:
  // REQUIRES: `core` outlives the solver; only its demands, fixed heads and laws are changed from outside,
  // and its flows and heads to begin from.
  CoreSolver(Core& core, const CoreOptions& options);
  ~CoreSolver();
  CoreSolver(CoreSolver&&) noexcept;
  CoreSolver& operator=(CoreSolver&&) noexcept;

  // From where the core stands.
  CoreOutcome Solve();
  // From where the core stands, near its last answer but for this change, which it has already. None where
  // that is no answer to follow, or too far: heads and flows are then somewhere on the way, for Solve to go
  // on from. COST: for a change felt by a few hundred links about three answers of the factor and one pass
  // over all laws.
  std::optional<CoreOutcome> Follow(const CoreChange& change);
  // The next Solve begins from the guess, all valves open.
  void Forget();
  double symbolic_s() const;  // wall time of the constructor

 private:
  class Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace lastreach
