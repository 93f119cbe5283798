#pragma once

#include <cmath>
#include <string>
#include <vector>

#include "town_like.h"

namespace lastreach {

// For benchmarks: a week on a network of town_like.h, with a factor for every hour and 50 devices that each
// run half an hour a night; with three tanks as well where asked.

inline constexpr int kDays = 7;
inline constexpr size_t kDevices = 50;
inline constexpr double kDeviceFlow_m3_per_s = 3e-3;

// Low at night, two peaks; no two hours alike.
inline std::vector<double> DayFactors() {
  std::vector<double> factors;
  for (int hour = 0; hour < 24; ++hour) {
    factors.push_back(1 - 0.6 * std::cos(hour * 0.2618) - 0.3 * std::cos(hour * 0.5236) + 0.001 * hour);
  }
  return factors;
}

inline void AddDevices(Network& network) {
  const size_t apart = network.nodes.size() / kDevices;
  for (size_t i = 0; i < kDevices; ++i) {
    for (int day = 0; day < kDays; ++day) {
      network.runs.push_back({NodeIndex(static_cast<uint32_t>(i * apart + 1)),
                              24.0 * day + 0.1 * static_cast<double>(i),
                              30,
                              kDeviceFlow_m3_per_s,
                              {},
                              {}});
    }
  }
}

inline void AddTanks(Network& network) {
  for (const size_t share : {3U, 5U, 7U}) {
    Node tank;
    tank.id = "tank " + std::to_string(share);
    tank.kind = NodeKind::kTank;
    tank.elevation_m = Sourced<double>{90, {}};
    tank.tank = TankShape{20, 4, 0, 12, TankMixing::kMixed};
    network.nodes.push_back(tank);
    Link link = network.links.front();
    link.id = tank.id;
    link.from = NodeIndex(static_cast<uint32_t>(network.nodes.size() / share));
    link.to = NodeIndex(static_cast<uint32_t>(network.nodes.size() - 1));
    link.inner_diameter_m = Sourced<double>{0.3, {}};
    network.links.push_back(link);
  }
}

// A source for every 60 by 60 crossings of streets, on the mains, and as much drawn a node as in a town of
// 10,000 links: each district lives as that town does. With one source alone the water of a greater town
// stands ever longer, and there is less to work out.
inline void GiveDistrictsSources(Network& network, int links) {
  constexpr int kApart = 60;
  constexpr int kLinksOfDistrict = 10'000;
  const int side = TownLike::SideOf(links);
  for (int row = kApart / 2; row < side; row += kApart) {
    for (int column = kApart / 2; column < side; column += kApart) {
      Node& node = network.nodes[static_cast<size_t>(row * side + column)];
      node.kind = NodeKind::kSource;
      node.head_m = 100;
    }
  }
  for (Node& node : network.nodes) node.demand_m3_per_s *= 1.0 * links / kLinksOfDistrict;
}

inline Network TownWeek(int links, bool with_tanks, bool with_districts = false) {
  Network network = TownLike(links).network;
  if (with_districts) GiveDistrictsSources(network, links);
  network.patterns = {{"day", DayFactors()}};
  for (Node& node : network.nodes) {
    if (node.kind == NodeKind::kJunction) node.pattern = "day";
  }
  if (with_tanks) AddTanks(network);
  AddDevices(network);
  return network;
}

}  // namespace lastreach
