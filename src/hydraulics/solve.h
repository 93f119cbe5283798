#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "core/result.h"
#include "hydraulics/core_solve.h"
#include "hydraulics/supply.h"
#include "network/network.h"

namespace lastreach {

// How the computation ended. Printed: never change the words.
enum class SolveStatus { kConverged, kDidNotConverge, kNothingFed };
std::string_view ToText(SolveStatus status);  // "converged", "did not converge", "nothing is fed"

struct SteadySummary {
  SolveStatus status = SolveStatus::kDidNotConverge;
  std::vector<LinkIndex> unsettled;  // where heads and flows fight, if it did not converge
  std::vector<NodeIndex> not_fed;    // no water can come there; their heads are not known
  int iterations = 0;                // steps on heads and flows
  int factorisations = 0;            // of those, with a matrix factored anew
  size_t unknown_heads = 0;          // solved together; the rest is trees
  // Recomputed from the answer itself, in another way than it was found; see balance.h. Negative until then.
  double mass_imbalance_m3_per_s = -1;
  double energy_imbalance_m = -1;
  // Where it followed from an answer near it to CoreOptions::followed_head_error_m: no head is further from
  // the exact one. Negative elsewhere: as near as the tolerances.
  double head_error_bound_m = -1;
  double prepare_s = 0;  // wall time: trees, chains, laws; 0 where those of the last answer served
  double symbolic_s = 0;
  double factor_s = 0;
  double backsolve_s = 0;
  double laws_s = 0;
  double total_s = 0;

  // Whether every node that can be fed has a head to rely on.
  bool IsUsable() const { return status == SolveStatus::kConverged; }
  // "converged in 6 steps; 3 nodes are not fed, the first N7".
  std::string BriefReport(const Network& network) const;
};

// Heads and flows at one moment.
struct SteadyState {
  std::vector<double> head_m;  // size nodes; NaN where nothing is fed; of a tank that takes or gives
                               // nothing more, at its pipes
  std::vector<double> outflow_m3_per_s;  // size nodes: leaves the network there; below 0 where it is fed
  std::vector<double> flow_m3_per_s;     // size links; from `from` to `to`
  SteadySummary summary;
};

struct SteadyOptions {
  double hour = 0;  // of patterns and runs
  CoreOptions core;
};

// The steady state: mass at nodes, energy along links. Demands are drawn whatever the pressure, unless the
// network's options have them fall with it; what an opening lets out follows the pressure and is 0 below
// none. docs/theory/hydraulics.md has the equations.
//
// Trees of plain pipes are summed exactly, the rest is solved by Newton from a flat start (core_solve.h).
// For many moments of one network: steady_solver.h.
// Parts that no source or tank can feed are left out and named. What cannot be settled is a status, not an
// error. ERROR: kBadInput for a value the network lacks and the answer needs, naming it. COST: about that of
// six sparse factorisations of the looped part, and as much again to lay it out. THREADS: safe to call from
// several.
Result<SteadyState> SolveSteady(const Network& network, const SteadyOptions& options = {});
// The same for what acts on the network given.
Result<SteadyState> SolveSteady(const Network& network, const Supply& supply,
                                const CoreOptions& options = {});

}  // namespace lastreach
