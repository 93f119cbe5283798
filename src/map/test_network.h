#pragma once

#include <algorithm>
#include <sstream>
#include <stdexcept>
#include <string>
#include <utility>

#include "map/plane.h"
#include "network/network.h"

namespace lastreach {

inline const Plane& NetworkPlane() {
  static const Plane plane(Position{-97.1, 31.2});
  return plane;
}

// A small network drawn in words, one thing a line:
//   source S 0 0          a node, metres east and north; also tank, or junction
//   junction A 100 0 hydrant      with a hydrant (or blow-off) on it
//   pipe S-A 200 Elm St   between two nodes, inner millimetres (0: nobody knows), street
//   check S-A 200         also pump and closed
//   house S-A 40 1.5      a service 40 m from S, drawing 1.5 m3/d
//   draw A 2              2 m3/d at the node itself
class TestNetwork : public Network {
 public:
  explicit TestNetwork(const std::string& drawing) {
    std::istringstream lines(drawing);
    for (std::string line; std::getline(lines, line);) {
      std::istringstream words(line);
      std::string what;
      if (words >> what) Add(what, words);
    }
    std::stable_sort(connections.begin(), connections.end(), [](const Connection& a, const Connection& b) {
      return std::make_pair(a.link, a.along_m) < std::make_pair(b.link, b.along_m);
    });
  }

  NodeIndex Named(const std::string& id) const {
    for (size_t i = 0; i < nodes.size(); ++i) {
      if (nodes[i].id == id) return NodeIndex(i);
    }
    throw std::invalid_argument("no node " + id);
  }
  LinkIndex Between(const std::string& id) const {
    for (size_t i = 0; i < links.size(); ++i) {
      if (links[i].id == id) return LinkIndex(i);
    }
    throw std::invalid_argument("no link " + id);
  }

 private:
  void Add(const std::string& what, std::istringstream& words) {
    if (const auto node = ParseNodeKind(what); node.ok()) {
      AddNode(*node, words);
    } else if (const auto link = ParseLinkKind(what); link.ok()) {
      AddLink(*link, words);
    } else if (what == "house") {
      Connection house;
      std::string id;
      double m3_per_day = 0;
      words >> id >> house.along_m >> m3_per_day;
      house.link = Between(id);
      house.demand_m3_per_s.value = m3_per_day / 86400;
      connections.push_back(house);
    } else if (what == "draw") {
      std::string id;
      double m3_per_day = 0;
      words >> id >> m3_per_day;
      nodes[At(Named(id))].demand_m3_per_s = m3_per_day / 86400;
    } else {
      throw std::invalid_argument(what);
    }
  }
  void AddNode(NodeKind kind, std::istringstream& words) {
    Node node;
    PlanePoint at;
    std::string thing;
    words >> node.id >> at.x_m >> at.y_m >> thing;
    node.kind = kind;
    node.at = NetworkPlane().From(at);
    node.has_hydrant = thing == "hydrant";
    node.has_blow_off = thing == "blow-off";
    nodes.push_back(node);
  }
  void AddLink(LinkKind kind, std::istringstream& words) {
    Link link;
    double mm = 0;
    words >> link.id >> mm >> std::ws;
    std::getline(words, link.street);
    const size_t dash = link.id.find('-');
    link.kind = kind;
    link.from = Named(link.id.substr(0, dash));
    link.to = Named(link.id.substr(dash + 1));
    link.line = {*nodes[At(link.from)].at, *nodes[At(link.to)].at};
    link.length_m.value = Distance_m(NetworkPlane().To(link.line[0]), NetworkPlane().To(link.line[1]));
    if (mm > 0) link.inner_diameter_m = Sourced<double>{mm / 1000, {}};
    links.push_back(link);
  }
};

}  // namespace lastreach
