#include "quality/transport_frame.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "quality/water_piece.h"

namespace lastreach {
namespace {

NodeRole RoleOf(const Node& node) {
  if (node.kind == NodeKind::kJunction) return NodeRole::kJoins;
  if (node.kind == NodeKind::kSource || !node.tank) return NodeRole::kGives;
  return node.tank->mixing == TankMixing::kMixed ? NodeRole::kMixes : NodeRole::kKeepsOrder;
}

std::vector<uint32_t> WorkedThrough(const Network& network, std::span<const double> flow) {
  std::vector<uint32_t> from, to;
  std::vector<double> volume;
  for (const Link& link : network.links) {
    from.push_back(static_cast<uint32_t>(At(link.from)));
    to.push_back(static_cast<uint32_t>(At(link.to)));
    volume.push_back(VolumeOf_m3(link));
  }
  WorkOrder order(static_cast<uint32_t>(network.nodes.size()), from, to, volume);
  std::vector<double> flows(flow.begin(), flow.end());
  order.Follow(flows);
  return {order.nodes().begin(), order.nodes().end()};
}

void NumberLinks(const Network& network, TransportFrame& frame) {
  const auto links = network.links.size();
  frame.link_in_network.resize(links);
  std::iota(frame.link_in_network.begin(), frame.link_in_network.end(), 0u);
  const auto first_node = [&](uint32_t l) {
    const Link& link = network.links[l];
    return std::min<uint32_t>(frame.node_here[At(link.from)], frame.node_here[At(link.to)]);
  };
  std::stable_sort(frame.link_in_network.begin(), frame.link_in_network.end(),
                   [&](uint32_t a, uint32_t b) { return first_node(a) < first_node(b); });
  for (const uint32_t l : frame.link_in_network) {
    const Link& link = network.links[l];
    frame.from.push_back(frame.node_here[At(link.from)]);
    frame.to.push_back(frame.node_here[At(link.to)]);
    frame.volume_m3.push_back(VolumeOf_m3(link));
  }
}

void ListArcs(TransportFrame& frame) {
  frame.arc_start.assign(frame.nodes() + 1, 0);
  for (uint32_t l = 0; l < frame.links(); ++l) {
    ++frame.arc_start[frame.from[l] + 1];
    ++frame.arc_start[frame.to[l] + 1];
  }
  std::partial_sum(frame.arc_start.begin(), frame.arc_start.end(), frame.arc_start.begin());
  frame.arcs.resize(2 * std::size_t{frame.links()});
  std::vector<uint32_t> next(frame.arc_start.begin(), frame.arc_start.end() - 1);
  for (uint32_t l = 0; l < frame.links(); ++l) {
    frame.arcs[next[frame.from[l]]++] = {l, frame.to[l], 0};
    frame.arcs[next[frame.to[l]]++] = {l, frame.from[l], 1};
  }
}

}  // namespace

TransportFrame FrameOf(const Network& network, std::span<const double> flow_m3_per_s) {
  TransportFrame frame;
  frame.node_in_network = WorkedThrough(network, flow_m3_per_s);
  frame.node_here.resize(frame.nodes());
  for (uint32_t n = 0; n < frame.nodes(); ++n) frame.node_here[frame.node_in_network[n]] = n;
  NumberLinks(network, frame);
  ListArcs(frame);
  frame.tank_of.assign(frame.nodes(), 0);
  for (uint32_t n = 0; n < frame.nodes(); ++n) {
    const Node& node = network.nodes[frame.node_in_network[n]];
    frame.role.push_back(RoleOf(node));
    const double given_mg_per_l = node.chlorine_mg_per_l.value_or(0);
    frame.given_ln.push_back(given_mg_per_l > 0 ? std::log(given_mg_per_l) : kNoneLn);
    if (frame.role[n] == NodeRole::kMixes) frame.tank_of[n] = frame.mixed_tanks++;
    if (frame.role[n] == NodeRole::kKeepsOrder) frame.tank_of[n] = frame.ordered_tanks++;
  }
  return frame;
}

}  // namespace lastreach
