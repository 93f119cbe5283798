#pragma once

#include <string>

#include "plan/test_devices.h"
#include "together/planning_network.h"

// A street for the tests of this room: nothing here is measured anywhere.
namespace lastreach {

// Source S, 2 km of 200 mm main to tee T where little is drawn, and from there two dead ends of 400 m of 150
// mm, each with a customer half way and one at its end: A and B. T's water is fresher when either of them is
// flushed.
inline PlanningNetwork ForkedStreet() {
  PlanningNetwork street;
  Network& network = street.network;
  const auto node = [&](const std::string& id, NodeKind kind, double litres_per_s) {
    Node added;
    added.id = id;
    added.kind = kind;
    added.demand_m3_per_s = litres_per_s / 1000;
    added.elevation_m = {0, {}};
    if (kind == NodeKind::kSource) {
      added.head_m = 60;
      added.chlorine_mg_per_l = 1.0;
    }
    network.nodes.push_back(added);
    return static_cast<NodeIndex>(network.nodes.size() - 1);
  };
  const auto pipe = [&](NodeIndex from, NodeIndex to, double length_m, double diameter_m) {
    Link link;
    link.id = network[from].id + network[to].id;
    link.from = from;
    link.to = to;
    link.length_m = {length_m, {}};
    link.inner_diameter_m = Sourced<double>{diameter_m, {}};
    link.roughness = Sourced<double>{130, {}};
    link.bulk_per_day = 0.6;
    network.links.push_back(link);
  };
  const NodeIndex source = node("S", NodeKind::kSource, 0);
  const NodeIndex tee = node("T", NodeKind::kJunction, 0.3);
  pipe(source, tee, 2000, 0.2);
  for (const std::string end : {"A", "B"}) {
    const NodeIndex half = node(end + "1", NodeKind::kJunction, 0.01);
    const NodeIndex last = node(end + "2", NodeKind::kJunction, 0.01);
    pipe(tee, half, 200, 0.15);
    pipe(half, last, 200, 0.15);
    street.placed.push_back({street.placed.size(), last, tee, {half, last}});
  }
  return street;
}

}  // namespace lastreach
