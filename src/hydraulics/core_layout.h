#pragma once

#include <cstdint>
#include <limits>
#include <string>
#include <utility>
#include <vector>

#include "core/result.h"
#include "hydraulics/core_problem.h"
#include "hydraulics/pipe_rows.h"
#include "network/network.h"
#include "network/structure.h"

namespace lastreach {

// The laws of all pipes of a network, and what is wrong with those that have none.
struct PipeLaws {
  PipeRows rows;                                    // size links; nothing where a link is no pipe
  std::vector<std::pair<LinkIndex, Error>> faults;  // in order of link
};
PipeLaws PipeLawsOf(const Network& network);

// What a layout must leave room for.
struct LayoutRequest {
  std::vector<char> fed;            // size nodes
  std::vector<NodeIndex> openings;  // in order, a node as often as it has openings
  std::vector<char> falls_short;    // size nodes: whose demand may fall with pressure; empty for none
  std::vector<char> may_shut;       // size links: shut at times; empty for none
};

// Where everything of a network stands in the core, for a set of nodes that are fed.
struct CoreLayout {
  static constexpr uint32_t kNone = std::numeric_limits<uint32_t>::max();
  struct TreePipe {
    uint32_t node = 0, parent = 0, link = 0;
    bool is_forward = false;  // the link runs from the parent
  };
  struct Row {
    uint32_t link = 0, to = 0;  // `to`: the node where the pipe ends, the chain's way
    bool is_forward = false;
  };
  struct Slot {
    uint32_t node = 0, core_link = 0, beyond = 0;  // `beyond`: the core node of fixed head at its other end
  };
  std::vector<TreePipe> trees;       // each before its parent's
  std::vector<uint32_t> core_node;   // size nodes; kNone in trees, within chains and where nothing is fed
  std::vector<uint32_t> node_of;     // size unknowns
  std::vector<Row> rows;             // size core.pipes
  std::vector<uint32_t> special_of;  // size links of the core less chains: link of the network, or kNone
  std::vector<Slot> openings, tanks, demands;
};

// Trees are of plain pipes alone, chains too and through junctions where nothing else is; the rest of what is
// fed stands for itself. Every tank is an unknown node joined to its water, so that its gate changes no
// layout. Flows are a guess, heads not set, slots out. ERROR: kBadInput naming a link or node and what it
// lacks, for parts that are fed. COST: O(nodes + links).
struct LaidOut {
  CoreLayout layout;
  Core core;
};
Result<LaidOut> LayOut(const Network& network, const Adjacency& adjacency, const PipeLaws& laws,
                       const LayoutRequest& request);

}  // namespace lastreach
