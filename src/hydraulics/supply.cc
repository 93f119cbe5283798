#include "hydraulics/supply.h"

#include <cmath>
#include <limits>
#include <unordered_map>

#include "hydraulics/link_law.h"
#include "network/plain_tables.h"
#include "network/structure.h"

namespace lastreach {
namespace {

constexpr double kMinutesPerHour = 60;

Error Fault(const Node& node, const std::string& message, const char* column) {
  return BadInput("node '" + node.id + "' " + message, {"nodes.csv", {}, column, ""});
}

using Factors = std::unordered_map<std::string, double>;

Factors FactorsAt(const Network& network, double hour) {
  Factors factors;
  for (const Pattern& pattern : network.patterns) {
    if (pattern.factors.empty()) continue;
    const double hours = static_cast<double>(pattern.factors.size());
    const double within = std::fmod(std::floor(hour), hours);
    factors[pattern.id] = pattern.factors[static_cast<size_t>(within < 0 ? within + hours : within)];
  }
  return factors;
}

double FactorOf(const Node& node, const Factors& factors) {
  const auto found = factors.find(node.pattern);
  return found == factors.end() ? 1 : found->second;
}

Result<double> FixedHead(const Node& node, double factor) {
  if (node.kind == NodeKind::kSource) {
    if (!node.head_m) return Fault(node, "is a source without a head", "head_m");
    return *node.head_m * factor;
  }
  if (node.tank && node.elevation_m) return node.elevation_m->value + node.tank->level_m;
  if (node.head_m) return *node.head_m;
  return Fault(node, "is a tank without a level or a head", "level_m");
}

Status AddOpening(const Node& node, NodeIndex at, double orifice_m, double coefficient, Supply& supply) {
  if (!node.elevation_m) {
    return Fault(node, "has an opening but no elevation to tell its pressure", "elevation_m");
  }
  const double conductance = OpeningConductance(orifice_m, coefficient);
  if (conductance > 0) supply.openings.push_back({at, conductance, node.elevation_m->value});
  return Ok();
}

Status AddRun(const Network& network, const NodeRun& run, Supply& supply) {
  if (run.flow_m3_per_s) {
    supply.demand_m3_per_s[At(run.node)] += *run.flow_m3_per_s;
    return Ok();
  }
  if (!run.orifice_m) return Ok();
  return AddOpening(network[run.node], run.node, *run.orifice_m, run.coefficient.value_or(1), supply);
}

// Spreads from the nodes on the stack.
void Spread(const Network& network, const Adjacency& adjacency, const Supply& supply,
            std::vector<NodeIndex>& stack, std::vector<char>& fed) {
  while (!stack.empty()) {
    const NodeIndex node = stack.back();
    stack.pop_back();
    for (const Way& way : adjacency.From(node)) {
      if (fed[At(way.to)] != 0 || IsShutBy(supply, way.link)) continue;
      const Link& link = network[way.link];
      if (IsOneWay(link.kind) && link.from != node) continue;
      fed[At(way.to)] = 1;
      stack.push_back(way.to);
    }
  }
}

// Whether a source or tank is joined to the node by links that are open, whichever way they pass water.
bool HasFeeder(const Network& network, const Adjacency& adjacency, const Supply& supply, NodeIndex first) {
  std::vector<char> seen(network.nodes.size(), 0);
  std::vector<NodeIndex> stack = {first};
  seen[At(first)] = 1;
  while (!stack.empty()) {
    const NodeIndex node = stack.back();
    stack.pop_back();
    if (IsFeeder(network[node]) && GateOf(supply, node) != TankGate::kShut) return true;
    for (const Way& way : adjacency.From(node)) {
      if (seen[At(way.to)] != 0 || IsShutBy(supply, way.link)) continue;
      seen[At(way.to)] = 1;
      stack.push_back(way.to);
    }
  }
  return false;
}

}  // namespace

Result<Supply> SupplyAt(const Network& network, double hour) {
  Supply supply;
  const Factors factors = FactorsAt(network, hour);
  supply.demand_m3_per_s = DemandAtNodes(network);
  supply.fixed_head_m.assign(network.nodes.size(), std::numeric_limits<double>::quiet_NaN());
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    const Node& node = network.nodes[i];
    const double factor = FactorOf(node, factors);
    if (!IsFeeder(node)) {
      supply.demand_m3_per_s[i] *= factor;
      continue;
    }
    const Result<double> head = FixedHead(node, factor);
    if (!head.ok()) return head.error();
    supply.fixed_head_m[i] = *head;
  }
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    const Node& node = network.nodes[i];
    if (!node.leak) continue;
    Status added = AddOpening(node, NodeIndex(i), node.leak->orifice_m, node.leak->coefficient, supply);
    if (!added.ok()) return added.error();
  }
  for (const NodeRun& run : network.runs) {
    const bool runs = run.start_hour <= hour && hour < run.start_hour + run.minutes / kMinutesPerHour;
    if (!runs) continue;
    if (Status added = AddRun(network, run, supply); !added.ok()) return added.error();
  }
  return supply;
}

bool IsOneWay(LinkKind kind) {
  return kind == LinkKind::kCheck || kind == LinkKind::kPump || kind == LinkKind::kReducing ||
         kind == LinkKind::kSustaining;
}

bool IsShutBy(const Supply& supply, LinkIndex link) {
  return !supply.shut.empty() && supply.shut[At(link)] != 0;
}

TankGate GateOf(const Supply& supply, NodeIndex node) {
  return supply.tank_gate.empty() ? TankGate::kFree : supply.tank_gate[At(node)];
}

double TankRise_s_per_m2(const Supply& supply, NodeIndex node) {
  return supply.tank_rise_s_per_m2.empty() ? 0 : supply.tank_rise_s_per_m2[At(node)];
}

std::vector<char> FedNodes(const Network& network, const Adjacency& adjacency, const Supply& supply) {
  std::vector<char> fed(network.nodes.size(), 0);
  std::vector<NodeIndex> stack;
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    const TankGate gate = GateOf(supply, NodeIndex(i));
    if (!IsFeeder(network.nodes[i]) || gate == TankGate::kShut || gate == TankGate::kOnlyFills) continue;
    fed[i] = 1;
    stack.push_back(NodeIndex(i));
  }
  Spread(network, adjacency, supply, stack, fed);
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    if (fed[i] != 0 || !(supply.demand_m3_per_s[i] < 0)) continue;
    if (!HasFeeder(network, adjacency, supply, NodeIndex(i))) continue;
    fed[i] = 1;
    stack.push_back(NodeIndex(i));
    Spread(network, adjacency, supply, stack, fed);
  }
  return fed;
}

}  // namespace lastreach
