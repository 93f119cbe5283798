#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "network/network.h"
#include "quality/work_order.h"

namespace lastreach {

// What a node does to the water that passes.
enum class NodeRole : uint8_t {
  kJoins,       // streams mix and go on
  kGives,       // a source, or a tank whose water is not known: what leaves it is new
  kMixes,       // a tank, ideally mixed
  kKeepsOrder,  // a tank, first in first out
};

// A network numbered anew, so that what water passes one after another lies side by side in memory: nodes in
// the order of work of the first flows, links by the first of their nodes.
struct TransportFrame {
  struct Arc {
    uint32_t link = 0;
    uint32_t other = 0;  // node at its other end
    uint32_t end = 0;    // the end of the link here: 0 where it begins (`from`), 1 where it ends
  };

  std::vector<uint32_t> node_in_network, link_in_network;  // by number here
  std::vector<uint32_t> node_here;                         // by number in the network
  std::vector<uint32_t> from, to;
  std::vector<double> volume_m3;  // of links
  std::vector<uint32_t> arc_start;
  std::vector<Arc> arcs;
  std::vector<NodeRole> role;
  std::vector<double> given_ln;   // ln of mg/L of what enters at the node: a source, water put in
  std::vector<uint32_t> tank_of;  // place among the tanks of its kind; of those alone
  uint32_t mixed_tanks = 0, ordered_tanks = 0;

  uint32_t nodes() const { return static_cast<uint32_t>(node_in_network.size()); }
  uint32_t links() const { return static_cast<uint32_t>(link_in_network.size()); }
  std::span<const Arc> ArcsOf(uint32_t node) const {
    return {arcs.data() + arc_start[node], arcs.data() + arc_start[node + 1]};
  }
  WorkOrder MakeOrder() const { return {nodes(), from, to, volume_m3}; }
};

TransportFrame FrameOf(const Network& network, std::span<const double> flow_m3_per_s);

}  // namespace lastreach
