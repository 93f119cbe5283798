#pragma once

#include <string>
#include <vector>

#include "map/plane.h"
#include "network/network.h"

namespace lastreach {

// For tests: a network drawn by hand in metres east and north of a place in open country.
struct HandNode {
  std::string id;
  double x_m = 0;
  double y_m = 0;
};
struct HandMain {
  std::string id;
  std::string from;
  std::string to;
  std::string street = {};
  double diameter_m = 0.15;
  std::vector<PlanePoint> bends = {};  // between the ends
};
Network HandNetwork(const std::vector<HandNode>& nodes, const std::vector<HandMain>& mains);

Position Spot(double x_m, double y_m);    // where that is on the ground
PlanePoint HandPoint(Position position);  // and back

NodeIndex NodeNamed(const Network& network, const std::string& id);  // fails the test if there is none
LinkIndex LinkNamed(const Network& network, const std::string& id);

}  // namespace lastreach
