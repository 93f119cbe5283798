#pragma once

#include <string>

#include "app/simulation_report.h"

namespace lastreach {

// Writes maps of what was simulated into a folder, made if it is not there: "lowest-pressure", "oldest-water"
// and "lowest-residual", as far as they were asked for, each as PDF and PNG; and of a project "six-ends", the
// residual at the six ends that come lowest against their target. US units and paper for zones of the United
// States.
//
// ERROR: kBadRequest for a network without places; else what writing gives. REQUIRES: of a project, the ends'
// residuals as the last series asked for (SeriesOfEnds).
Status DrawPictures(const SimulationTold& told, const std::string& folder, Instant now);

// The residual of every end: there where a device runs, at its last customer elsewhere.
SeriesWanted SeriesOfEnds(const ProjectSimulation& project);

}  // namespace lastreach
