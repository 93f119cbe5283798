#pragma once

#include <vector>

#include "core/result.h"
#include "network/network.h"
#include "network/structure.h"

namespace lastreach {

// Water that leaves through an opening to the air at a node, as much as the pressure there drives.
struct Opening {
  NodeIndex node{};
  double conductance_m25_per_s = 0;  // c A sqrt(2 g)
  double outlet_m = 0;               // head of the open air there: the node's elevation
};

// A tank that can take no more, give no more, or neither.
enum class TankGate { kFree, kOnlyFills, kOnlyGives, kShut };

// What acts on the network at one moment.
struct Supply {
  std::vector<double> demand_m3_per_s;  // size nodes: customers and devices of given flow
  std::vector<double> fixed_head_m;     // size nodes: of sources and tanks; NaN elsewhere
  std::vector<Opening> openings;        // devices and leaks
  std::vector<char> shut;               // size links, or empty for none: shut besides those of kind closed
  std::vector<TankGate> tank_gate;      // size nodes, or empty for all free; of tanks
  // Size nodes, or empty for 0: the head a tank gains above `fixed_head_m` for each m3/s it takes, as at some
  // moment of a step through time.
  std::vector<double> tank_rise_s_per_m2;
};

// Average demands (customers along links at the two ends, by their place) and heads of sources, times their
// patterns' factors at `hour`; a tank at its elevation and level; leaks; devices that run at `hour`. ERROR:
// kBadInput naming the node: a source without a head, a tank without a level, an opening at a node of no
// elevation.
Result<Supply> SupplyAt(const Network& network, double hour);

// Whether water can come to each node from a source or a tank that gives, or from a node where water is put
// in and whose part has a source: along links that are open, and the right way through those that let it pass
// one way. Size nodes. `adjacency`: of the network, links of kind closed left out.
std::vector<char> FedNodes(const Network& network, const Adjacency& adjacency, const Supply& supply);

bool IsShutBy(const Supply& supply, LinkIndex link);
TankGate GateOf(const Supply& supply, NodeIndex node);
double TankRise_s_per_m2(const Supply& supply, NodeIndex node);

// Of links that pass water from `from` to `to` alone: check, pump, reducing, sustaining.
bool IsOneWay(LinkKind kind);

}  // namespace lastreach
