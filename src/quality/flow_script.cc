#include "quality/flow_script.h"

#include <numbers>

namespace lastreach {

NodeIndex ScriptedNetwork::AddNode(NodeKind kind) {
  Node node;
  node.id = "N" + std::to_string(network.nodes.size());
  node.kind = kind;
  network.nodes.push_back(std::move(node));
  return static_cast<NodeIndex>(network.nodes.size() - 1);
}

NodeIndex ScriptedNetwork::AddSource(double chlorine_mg_per_l) {
  const NodeIndex node = AddNode(NodeKind::kSource);
  network[node].chlorine_mg_per_l = chlorine_mg_per_l;
  return node;
}

NodeIndex ScriptedNetwork::AddTank(TankMixing mixing, double diameter_m) {
  const NodeIndex node = AddNode(NodeKind::kTank);
  network[node].tank = TankShape{.diameter_m = diameter_m, .max_level_m = 10, .mixing = mixing};
  return node;
}

LinkIndex ScriptedNetwork::AddPipe(NodeIndex from, NodeIndex to, double volume_m3, double diameter_m) {
  Link link;
  link.id = "L" + std::to_string(network.links.size());
  link.from = from;
  link.to = to;
  link.length_m.value = volume_m3 / (std::numbers::pi / 4 * diameter_m * diameter_m);
  link.inner_diameter_m = Sourced<double>{};
  link.inner_diameter_m->value = diameter_m;
  network.links.push_back(std::move(link));
  return static_cast<LinkIndex>(network.links.size() - 1);
}

LinkIndex ScriptedNetwork::AddValve(NodeIndex from, NodeIndex to) {
  Link link;
  link.id = "L" + std::to_string(network.links.size());
  link.kind = LinkKind::kPump;
  link.from = from;
  link.to = to;
  network.links.push_back(std::move(link));
  return static_cast<LinkIndex>(network.links.size() - 1);
}

FlowPeriod FlowScript::Next(double seconds, std::vector<double> flow_m3_per_s) {
  flow_ = std::move(flow_m3_per_s);
  outflow_.assign(network_.nodes.size(), 0);
  head_.assign(network_.nodes.size(), 0);
  for (std::size_t l = 0; l < network_.links.size(); ++l) {
    outflow_[At(network_.links[l].from)] -= flow_[l];
    outflow_[At(network_.links[l].to)] += flow_[l];
  }
  volume_ = tank_volume_m3_;
  for (std::size_t n = 0; n < network_.nodes.size(); ++n) {
    if (network_.nodes[n].tank) tank_volume_m3_[n] += outflow_[n] * seconds;
  }
  const double begin_s = now_s_;
  now_s_ += seconds;
  return {begin_s, now_s_, flow_, outflow_, head_, volume_};
}

double ReadAt(const NetworkTransport& transport, Quantity quantity, NodeIndex node, const Network& network) {
  std::vector<double> out(network.nodes.size());
  transport.ReadNodes(quantity, out);
  return out[At(node)];
}

}  // namespace lastreach
