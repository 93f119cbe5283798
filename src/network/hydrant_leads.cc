#include "network/hydrant_leads.h"

#include <optional>

namespace lastreach {
namespace {

struct Lead {
  std::vector<LinkIndex> links;
  NodeIndex fork{};
  double length_m = 0;
};

std::optional<Lead> LeadTo(NodeIndex hydrant, const Network& network, const Adjacency& adjacency,
                           const std::vector<char>& has_connection, double shortest_main_m) {
  Lead lead;
  lead.fork = hydrant;
  LinkIndex link = adjacency.From(hydrant).front().link;
  while (true) {
    lead.length_m += network[link].length_m.value;
    if (lead.length_m >= shortest_main_m || has_connection[At(link)] != 0) return {};
    lead.links.push_back(link);
    lead.fork = OtherEnd(network[link], lead.fork);
    if (IsFeeder(network[lead.fork]) || adjacency.Degree(lead.fork) > 2) return lead;
    if (adjacency.Degree(lead.fork) < 2) return {};  // a piece by itself
    const auto ways = adjacency.From(lead.fork);
    link = ways[0].link == link ? ways[1].link : ways[0].link;
  }
}

}  // namespace

HydrantLeads FindHydrantLeads(const Network& network, const Adjacency& adjacency, double shortest_main_m) {
  HydrantLeads leads;
  leads.is_lead.assign(network.links.size(), 0);
  leads.is_hydrant.assign(network.nodes.size(), 0);
  leads.has_lead.assign(network.nodes.size(), 0);
  leads.ways_of_main.resize(network.nodes.size());
  std::vector<char> has_connection(network.links.size(), 0);
  for (const Connection& connection : network.connections) has_connection[At(connection.link)] = 1;
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    leads.ways_of_main[i] = static_cast<uint32_t>(adjacency.Degree(NodeIndex(i)));
  }
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    const Node& node = network.nodes[i];
    if (!node.has_hydrant || node.has_blow_off || IsFeeder(node) || adjacency.Degree(NodeIndex(i)) != 1)
      continue;
    const auto lead = LeadTo(NodeIndex(i), network, adjacency, has_connection, shortest_main_m);
    if (!lead) continue;
    for (const LinkIndex link : lead->links) leads.is_lead[At(link)] = 1;
    --leads.ways_of_main[At(lead->fork)];
    leads.is_hydrant[i] = 1;
    leads.has_lead[At(lead->fork)] = 1;
  }
  return leads;
}

}  // namespace lastreach
