#pragma once

#include <string>
#include <vector>

#include "core/civil_time.h"
#include "core/result.h"
#include "map/fill_in.h"
#include "map/join_up.h"
#include "map/place_things.h"
#include "map/serve.h"
#include "network/network.h"
#include "network/repair.h"
#include "store/project.h"

namespace lastreach {

struct MapOptions {
  JoinOptions join;
  PlaceOptions place;
  ServeOptions serve;
  FillOptions fill;
};

// What came of making the network, for people to judge it by.
struct MapMade {
  Network network;
  std::vector<DrawnThing> drawn_things;  // what the numbers in `things` count
  std::vector<Repair> repairs;
  std::vector<SetAside> set_aside;  // at the import of the layers, then at the joining
  JoinSummary joined;
  PlaceSummary things;
  ServeSummary customers;
  FillSummary filled;
};

// Makes the network of the layers of a project, with the decisions people have recorded, and puts it and its
// repairs there in the place of what was made before: joined up, things placed, customers served, and what
// nobody knows filled in with its origin. The layers are not changed.
//
// ERROR: kBadInput if the project has no mains, or for what the rooms of the map refuse. Then nothing is
// written.
Result<MapMade> MakeNetwork(Project& project, const MapOptions& options = {});

// What one person says of repairs of the latest making, by their ids ("R0012", or "R12").
struct Verdicts {
  std::vector<std::string> accepted;
  std::vector<std::string> refused;
  std::vector<std::string> locked;
  std::string who;
  std::string why;
  Instant when{};
};

// Records them, all or none. ERROR: kNotFound for an id the latest making does not have; kBadRequest for one
// that is named twice.
Status RecordVerdicts(Project& project, const Verdicts& verdicts);

}  // namespace lastreach
