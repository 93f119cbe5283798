#pragma once

#include <vector>

#include "network/network.h"
#include "network/structure.h"

namespace lastreach {

// Pieces of pipe that are no mains: from a fork to a hydrant where nothing else is, without a customer.
struct HydrantLeads {
  std::vector<char> is_lead;           // size links
  std::vector<char> is_hydrant;        // size nodes: the node at the end of a lead
  std::vector<char> has_lead;          // size nodes: a lead leaves the main here
  std::vector<uint32_t> ways_of_main;  // size nodes: how many ways each node has that are no leads
};

// `shortest_main_m`: pieces as long as this are mains. Links with a connection are mains.
HydrantLeads FindHydrantLeads(const Network& network, const Adjacency& adjacency, double shortest_main_m);

}  // namespace lastreach
