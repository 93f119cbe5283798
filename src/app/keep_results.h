#pragma once

#include "app/project_simulation.h"
#include "simulation/simulation.h"
#include "store/project.h"

namespace lastreach {

// Puts what was kept at each step into the project: pressure, flow, and of age, residual and share what was
// carried. All or nothing. REQUIRES: the answer kept the nodes and links of the map.
Status KeepResults(Project& project, const ProjectSimulation& prepared, const SimulationAsk& ask,
                   const Simulated& answer, const std::string& source_note, Instant now);

}  // namespace lastreach
