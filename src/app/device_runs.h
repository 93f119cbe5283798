#pragma once

#include "app/device_facts.h"
#include "app/project_simulation.h"
#include "calendar/answer.h"

namespace lastreach {

// Puts the devices of a project on its cut network: each at the end it stands at, running by its latest
// settings from the calendar. Runs of the days simulated go into `simulation.network`, those of the week
// before into `simulation.warm_week`, which is made here. A run over the end of either is cut there. A device
// that cannot be placed, has no settings or no flow draws nothing, and a note says so.
void PutDeviceRuns(const ProjectFacts& facts, double hours, ProjectSimulation& simulation);

// The longest stretches without a run that end at a run's start after `begins` and before `ends`: one, or all
// that are equally long. What comes before the first day counts.
std::vector<Gap> LongestGapsEndingIn(const std::vector<Run>& runs, Instant begins, Instant ends);

}  // namespace lastreach
