#pragma once

#include <iosfwd>
#include <string>
#include <utility>
#include <vector>

#include "app/project_simulation.h"
#include "simulation/simulation.h"

namespace lastreach {

// What `lastreach simulate` has to tell of one simulation.
struct SimulationTold {
  const Network& network;
  const SimulationAsk& ask;
  const Simulated& answer;
  const ProjectSimulation* project = nullptr;  // none for a folder of plain tables
  Quantity track = Quantity::kAge;
  std::vector<std::string> names;  // of the nodes of the first series asked for
  std::string source_note;         // whose water `source` tells, in words; empty otherwise
};

std::string_view WordOf(Quantity quantity);  // "age", "chlorine", "source"
std::string_view UnitOf(Quantity quantity);  // "h", "mg/L", "%"
// Seconds, mg/L and shares as they are told: hours, mg/L, percent.
double Told(Quantity quantity, double value);

// How an end came out: at the end itself when the longest stretch without a run of its device ends, of
// equally long ones where the residual is lowest; or, without a device that runs, at the last customer before
// it in the worst hour.
struct EndOutcome {
  bool at_gap_end = false;
  NodeIndex node{};
  double gap_h = 0;
  double hour = 0;  // when it is judged; of the worst hour, the end of that of the residual
  double age_h = 0;
  double chlorine_mg_per_l = 0;
};
// In the order of the project's ends. REQUIRES: a project.
std::vector<EndOutcome> EndOutcomes(const SimulationTold& told);

// The moments that EndOutcomes looks for.
std::vector<MomentWanted> MomentsFor(const ProjectSimulation& project, double hours);

// One JSON document, docs/formats/simulate.md.
std::string SimulationToJson(const SimulationTold& told);
void PrintSimulation(const SimulationTold& told, std::ostream& out);

}  // namespace lastreach
