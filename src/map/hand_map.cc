#include "map/hand_map.h"

#include <gtest/gtest.h>

namespace lastreach {
namespace {

const Plane& Ground() {
  static const Plane plane(Position{-99.9, 42.25});
  return plane;
}

}  // namespace

Position Spot(double x_m, double y_m) { return Ground().From({x_m, y_m}); }
PlanePoint HandPoint(Position position) { return Ground().To(position); }

Network HandNetwork(const std::vector<HandNode>& nodes, const std::vector<HandMain>& mains) {
  Network network;
  for (const HandNode& from : nodes) {
    Node node;
    node.id = from.id;
    node.at = Spot(from.x_m, from.y_m);
    network.nodes.push_back(std::move(node));
  }
  for (const HandMain& main : mains) {
    Link link;
    link.id = main.id;
    link.from = NodeNamed(network, main.from);
    link.to = NodeNamed(network, main.to);
    link.street = main.street;
    if (main.diameter_m > 0) {
      link.inner_diameter_m = Sourced<double>{main.diameter_m, {OriginKind::kMeasured, "", {}, ""}};
    }
    link.line.push_back(*network[link.from].at);
    for (const PlanePoint bend : main.bends) link.line.push_back(Spot(bend.x_m, bend.y_m));
    link.line.push_back(*network[link.to].at);
    for (size_t i = 1; i < link.line.size(); ++i) {
      link.length_m.value += Distance_m(HandPoint(link.line[i - 1]), HandPoint(link.line[i]));
    }
    link.main = FeatureKey{"mains", main.id};
    link.main_to_m = link.length_m.value;
    network.links.push_back(std::move(link));
  }
  return network;
}

NodeIndex NodeNamed(const Network& network, const std::string& id) {
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    if (network.nodes[i].id == id) return static_cast<NodeIndex>(i);
  }
  ADD_FAILURE() << "no node " << id;
  return {};
}

LinkIndex LinkNamed(const Network& network, const std::string& id) {
  for (size_t i = 0; i < network.links.size(); ++i) {
    if (network.links[i].id == id) return static_cast<LinkIndex>(i);
  }
  ADD_FAILURE() << "no link " << id;
  return {};
}

}  // namespace lastreach
