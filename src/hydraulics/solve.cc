#include "hydraulics/solve.h"

#include "hydraulics/steady_solver.h"
#include "hydraulics/supply.h"

namespace lastreach {
std::string_view ToText(SolveStatus status) {
  switch (status) {
    case SolveStatus::kConverged:
      return "converged";
    case SolveStatus::kDidNotConverge:
      return "did not converge";
    case SolveStatus::kNothingFed:
      break;
  }
  return "nothing is fed";
}

std::string SteadySummary::BriefReport(const Network& network) const {
  std::string text = std::string(ToText(status)) + " in " + std::to_string(iterations) + " steps";
  if (status == SolveStatus::kNothingFed) text = "no node can be reached from a source or a tank";
  for (size_t i = 0; i < unsettled.size(); ++i) {
    text += (i == 0 ? "; these do not settle: " : ", ") + network[unsettled[i]].id;
  }
  if (!not_fed.empty() && status != SolveStatus::kNothingFed) {
    text += "; not fed: " + std::to_string(not_fed.size()) +
            (not_fed.size() == 1 ? " node, " : " nodes, the first ") + network[not_fed.front()].id;
  }
  return text;
}

Result<SteadyState> SolveSteady(const Network& network, const SteadyOptions& options) {
  const Result<Supply> supply = SupplyAt(network, options.hour);
  if (!supply.ok()) return supply.error();
  return SolveSteady(network, *supply, options.core);
}

Result<SteadyState> SolveSteady(const Network& network, const Supply& supply, const CoreOptions& options) {
  Result<SteadySolver> solver = SteadySolver::Make(network, options);
  if (!solver.ok()) return solver.error();
  const Result<const SteadyState*> state = solver->Solve(supply);
  if (!state.ok()) return state.error();
  return **state;
}

}  // namespace lastreach
