#include "together/lump_trees.h"

#include <numeric>

#include "network/structure.h"

namespace lastreach {
namespace {

constexpr NodeIndex kGone = NodeIndex(UINT32_MAX);

// Which nodes may not be taken away whatever hangs on them, and which links.
struct Held {
  std::vector<char> nodes, links;
};

Held HeldIn(const Network& network, const std::vector<NodeIndex>& keep) {
  Held held{std::vector<char>(network.nodes.size(), 0), std::vector<char>(network.links.size(), 0)};
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    const Node& node = network.nodes[i];
    held.nodes[i] = node.kind != NodeKind::kJunction || node.leak ? 1 : 0;
  }
  for (const NodeIndex node : keep) held.nodes[At(node)] = 1;
  for (size_t i = 0; i < network.links.size(); ++i) held.links[i] = network.links[i].kind != LinkKind::kPipe;
  for (const Connection& connection : network.connections) held.links[At(connection.link)] = 1;
  for (const LinkRule& rule : network.rules) {
    held.links[At(rule.link)] = 1;
    if (rule.tank) held.nodes[At(*rule.tank)] = 1;
  }
  return held;
}

// What is drawn at `from` is drawn at `to` as well as before; whether one pattern can say so.
bool DrawsToo(const Node& from, Node& to) {
  if (from.demand_m3_per_s == 0) return true;
  if (to.kind != NodeKind::kJunction) return false;
  if (to.demand_m3_per_s != 0 && to.pattern != from.pattern) return false;
  to.pattern = from.pattern;
  to.demand_m3_per_s += from.demand_m3_per_s;
  return true;
}

// The network without the nodes that have gone elsewhere, numbered anew.
LumpedNetwork Packed(Network network, const std::vector<NodeIndex>& goes_to) {
  LumpedNetwork lumped;
  std::vector<NodeIndex> number(network.nodes.size(), kGone);
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    if (At(goes_to[i]) != i) continue;
    number[i] = NodeIndex(static_cast<uint32_t>(lumped.network.nodes.size()));
    lumped.network.nodes.push_back(std::move(network.nodes[i]));
  }
  for (const NodeIndex to : goes_to) lumped.node_of.push_back(number[At(to)]);
  std::vector<LinkIndex> link_number(network.links.size(), LinkIndex{});
  for (size_t l = 0; l < network.links.size(); ++l) {
    Link& link = network.links[l];
    if (number[At(link.from)] == kGone || number[At(link.to)] == kGone) continue;
    link_number[l] = LinkIndex(static_cast<uint32_t>(lumped.network.links.size()));
    link.from = number[At(link.from)];
    link.to = number[At(link.to)];
    lumped.network.links.push_back(std::move(link));
  }
  for (Connection& connection : network.connections) connection.link = link_number[At(connection.link)];
  for (NodeRun& run : network.runs) run.node = lumped.node_of[At(run.node)];
  for (LinkRule& rule : network.rules) {
    rule.link = link_number[At(rule.link)];
    if (rule.tank) rule.tank = number[At(*rule.tank)];
  }
  lumped.network.connections = std::move(network.connections);
  lumped.network.patterns = std::move(network.patterns);
  lumped.network.runs = std::move(network.runs);
  lumped.network.rules = std::move(network.rules);
  lumped.network.options = network.options;
  return lumped;
}

}  // namespace

LumpedNetwork LumpTrees(const Network& network, const std::vector<NodeIndex>& keep) {
  Network changed = network;
  std::vector<NodeIndex> goes_to(network.nodes.size());
  for (uint32_t i = 0; i < goes_to.size(); ++i) goes_to[i] = NodeIndex(i);
  if (network.options.short_pressure) return Packed(std::move(changed), goes_to);
  Held held = HeldIn(network, keep);
  // Links that are shut now may be opened by a rule, and a part behind one must not be lost.
  const Adjacency adjacency(network, ShutLinks::kKept);
  const HangingForest forest = ForestOf(adjacency, held.nodes);
  for (const NodeIndex node : forest.ends_first) {
    const auto& parent = forest.parent[At(node)];
    if (!parent) continue;
    const NodeIndex to = OtherEnd(network[*parent], node);
    if (held.nodes[At(node)] == 0 && held.links[At(*parent)] == 0 && DrawsToo(changed[node], changed[to])) {
      goes_to[At(node)] = to;
    } else {
      held.nodes[At(to)] = 1;  // it carries what stays
    }
  }
  // The last to go hung nearest to what remains.
  for (size_t k = forest.ends_first.size(); k-- > 0;) {
    NodeIndex& to = goes_to[At(forest.ends_first[k])];
    to = goes_to[At(to)];
  }
  return Packed(std::move(changed), goes_to);
}

}  // namespace lastreach
