#pragma once

#include <string>
#include <vector>

#include "core/result.h"
#include "plan/facts.h"
#include "store/project.h"

namespace lastreach {

// A timer or a supply zone that devices name and nobody has described yet.
struct Undescribed {
  enum class What { kTimer, kZone };
  What what = What::kTimer;
  std::string name;
  std::vector<std::string> devices;  // their codes, in order
};

// What planning needs of a project, in order of code.
struct ProjectFacts {
  std::vector<DeviceFacts> devices;
  std::vector<FlushPoint> hand_points;
  std::vector<Limit> together;  // limits on the water of a zone or the system
  std::vector<Undescribed> undescribed;
  bool south = false;  // the devices stand south of the equator
};

// Joins each device with its form, reach, zone, limits and latest settings (as-left or as-found).
// A timer or zone that the project does not have is one of which nothing is known but its name: it is planned
// for so that it cannot hurt, and listed in `undescribed`.
// ERROR: what reading the project's file gives.
Result<ProjectFacts> FactsOf(const Project& project);

}  // namespace lastreach
