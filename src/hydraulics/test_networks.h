#pragma once

#include <string>
#include <vector>

#include "hydraulics/solve.h"
#include "network/network.h"

namespace lastreach {

// For tests: networks by hand, a call a thing.
class Hand {
 public:
  Network network;

  NodeIndex Junction(double elevation_m, double demand_m3_per_s) {
    Node node;
    node.id = "N" + std::to_string(network.nodes.size());
    node.elevation_m = Sourced<double>{elevation_m, {}};
    node.demand_m3_per_s = demand_m3_per_s;
    network.nodes.push_back(node);
    return NodeIndex(network.nodes.size() - 1);
  }
  NodeIndex Source(double head_m) {
    const NodeIndex source = Junction(0, 0);
    network[source].kind = NodeKind::kSource;
    network[source].head_m = head_m;
    return source;
  }
  NodeIndex Tank(double elevation_m, const TankShape& shape) {
    const NodeIndex tank = Junction(elevation_m, 0);
    network[tank].kind = NodeKind::kTank;
    network[tank].tank = shape;
    return tank;
  }
  Link& Add(LinkKind kind, NodeIndex from, NodeIndex to) {
    Link link;
    link.id = "L" + std::to_string(network.links.size());
    link.kind = kind;
    link.from = from;
    link.to = to;
    network.links.push_back(link);
    return network.links.back();
  }
  Link& Pipe(NodeIndex from, NodeIndex to, double length_m, double diameter_m, double roughness = 120,
             LinkKind kind = LinkKind::kPipe) {
    Link& link = Add(kind, from, to);
    link.length_m.value = length_m;
    link.inner_diameter_m = Sourced<double>{diameter_m, {}};
    link.roughness = Sourced<double>{roughness, {}};
    return link;
  }
  Link& Valve(LinkKind kind, NodeIndex from, NodeIndex to, double setting) {
    Link& link = Add(kind, from, to);
    link.setting = setting;
    link.inner_diameter_m = Sourced<double>{0.15, {}};
    link.minor_loss = 2;
    return link;
  }
  Link& Pump(NodeIndex from, NodeIndex to, double shutoff_m, double flow_m3_per_s, double head_m) {
    Link& link = Add(LinkKind::kPump, from, to);
    link.pump = PumpCurve{shutoff_m, flow_m3_per_s, head_m};
    return link;
  }
};

}  // namespace lastreach
