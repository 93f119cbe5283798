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

Status AddRun(const Network& network, const NodeRun& run, Supply& supply) {
  if (run.flow_m3_per_s) {
    supply.demand_m3_per_s[At(run.node)] += *run.flow_m3_per_s;
    return Ok();
  }
  if (!run.orifice_m) return Ok();
  const Node& node = network[run.node];
  if (!node.elevation_m)
    return Fault(node, "has an opening but no elevation to tell its pressure", "elevation_m");
  const double conductance = OpeningConductance(*run.orifice_m, run.coefficient.value_or(1));
  if (conductance > 0) supply.openings.push_back({run.node, conductance, node.elevation_m->value});
  return Ok();
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

std::vector<char> FedNodes(const Network& network, const Supply& supply) {
  const Adjacency adjacency(network);
  const Parts parts = ConnectedParts(adjacency);
  std::vector<char> has_source(parts.count, 0);
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    if (IsFeeder(network.nodes[i])) has_source[parts.of_node[i]] = 1;
  }
  std::vector<char> fed(network.nodes.size(), 0);
  std::vector<NodeIndex> stack;
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    const bool gives = IsFeeder(network.nodes[i]) || supply.demand_m3_per_s[i] < 0;
    if (!gives || !has_source[parts.of_node[i]]) continue;
    fed[i] = 1;
    stack.push_back(NodeIndex(i));
  }
  while (!stack.empty()) {
    const NodeIndex node = stack.back();
    stack.pop_back();
    for (const Way& way : adjacency.From(node)) {
      const Link& link = network[way.link];
      if (fed[At(way.to)] || (IsOneWay(link.kind) && link.from != node)) continue;
      fed[At(way.to)] = 1;
      stack.push_back(way.to);
    }
  }
  return fed;
}

}  // namespace lastreach
