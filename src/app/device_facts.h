#pragma once

#include <vector>

#include "core/result.h"
#include "plan/facts.h"
#include "store/project.h"

namespace lastreach {

// What planning needs of a project, in order of code.
struct ProjectFacts {
  std::vector<DeviceFacts> devices;
  std::vector<FlushPoint> hand_points;
  std::vector<Limit> together;  // limits on the water of a zone or the system
  bool south = false;           // the devices stand south of the equator
};

// Joins each device with its form, reach, zone, limits and latest settings (as-left or as-found).
// ERROR: kBadInput naming the device if it names a timer or a zone that the project does not have.
Result<ProjectFacts> FactsOf(const Project& project);

}  // namespace lastreach
