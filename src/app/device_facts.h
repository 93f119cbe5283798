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

// Where a point stands on the map, and what the map says of its reach.
struct OnMap {
  PointCode point;
  std::string place;  // id of the quiet place it stands at; empty if it stands at none
  double distance_m = 0;
  std::vector<ReachPipe> traced;  // empty if it stands at none
  bool used = false;              // the device's reach is this, as none was typed
};

// What planning needs of a project, in order of code.
struct ProjectFacts {
  std::vector<DeviceFacts> devices;
  std::vector<FlushPoint> hand_points;
  std::vector<DeviceFacts> hand_ends;  // the same points with reach, zone and limits; no timer
  std::vector<Limit> together;         // limits that the devices of a zone or the system keep together
  std::vector<Undescribed> undescribed;
  std::vector<OnMap> on_map;  // of points with a position, where the project has a network
  bool south = false;         // the devices stand south of the equator
};

// Joins each device with its form, reach, zone, limits and latest settings (as-left or as-found).
// A timer or zone that the project does not have is one of which nothing is known but its name: it is planned
// for so that it cannot hurt, and listed in `undescribed`.
// Where the project has a network with places, a device at an end (reach_from_map.h) without a typed reach
// gets the one the map shows; a typed one is kept. Hand-flushed points likewise. ERROR: what reading the
// project's file gives.
Result<ProjectFacts> FactsOf(const Project& project);

}  // namespace lastreach
