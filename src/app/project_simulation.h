#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/device_facts.h"
#include "app/map_source.h"
#include "app/zone_water.h"
#include "calendar/runs.h"
#include "core/zone.h"
#include "network/quiet_place.h"

namespace lastreach {

// Customers at one place along a main.
struct ServiceNode {
  NodeIndex node{};
  int count = 1;
  std::string id;  // of the service as its layer has it; else of the node
  std::string street;
  std::string zone;
};

// A device as it draws on the network.
struct DeviceNode {
  std::string code;
  std::string end;  // id of the quiet place it stands at
  NodeIndex node{};
  std::vector<Run> runs;  // from eight days before the first day on
};

// A quiet place with its node.
struct EndNode {
  QuietPlace place;
  NodeIndex node{};                  // of the end itself
  std::vector<NodeIndex> customers;  // on the way there (of a loop, on its first arm), the last one last
  NodeIndex last_customer{};         // the end where there is none
  std::optional<size_t> device;      // of ProjectSimulation::devices
};

// A project made ready for Simulate: the map's network, cut wherever customers draw and where quiet places
// without a node lie, with the households' hours, the water of its zones and the runs of its devices.
struct ProjectSimulation {
  Network network;    // its first nodes and links are those of the map, in their order
  Network warm_week;  // the same with the runs of the week before
  size_t map_nodes = 0;
  size_t map_links = 0;
  std::vector<ServiceNode> services;
  std::vector<DeviceNode> devices;
  std::vector<EndNode> ends;  // without hydrant leads
  std::vector<SupplyZone> zones;
  std::string name;
  Zone zone = Zone::Utc();
  Date from;
  Instant begins;                   // hour 0: midnight of the first day
  std::vector<NumberUsed> numbers;  // what the answer rests on
  std::vector<std::string> notes;   // what was left out, and why
};

struct PrepareOptions {
  std::optional<Date> from;  // the first day; today where none is given
  double hours = 168;
  Instant now{};
  // The water and the use of a season; what the project has of its zones where none are given.
  std::optional<std::vector<SupplyZone>> zones;
  double use_factor = 1;    // times the average of every customer
  bool device_runs = true;  // or none at all: the caller puts them in
};

// Devices run by their latest settings found or left, at the end they stand at.
// ERROR: kBadInput for a project without a network; what reading it gives.
// COST: that of FindQuietPlaces, and of expanding each device's calendar.
Result<ProjectSimulation> PrepareProject(const MapSource& source, const PrepareOptions& options);

}  // namespace lastreach
