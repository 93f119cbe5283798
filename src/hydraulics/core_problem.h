#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "core/result.h"
#include "hydraulics/link_law.h"
#include "hydraulics/supply.h"
#include "network/network.h"
#include "network/structure.h"

namespace lastreach {

// What a valve that holds a pressure does: open as a pipe would be (and shut against flow back), holding its
// node at the setting, or shut though water would pass.
enum class ValveState { kOpen, kHolding, kShut };

// A reducing or sustaining valve of the core.
struct CoreValve {
  uint32_t link = 0;
  LinkKind kind = LinkKind::kReducing;
  uint32_t node = 0;      // whose head it holds: `to` of a reducing, `from` of a sustaining valve
  double set_head_m = 0;  // setting and elevation
  ValveState state = ValveState::kOpen;
};

struct CoreLink {
  uint32_t from = 0;
  uint32_t to = 0;
  LinkLaw law;
  std::optional<LinkIndex> of;  // none of an opening
};

// What is left to solve once trees of pipes are summed: nodes 0 .. unknowns - 1 have unknown heads; those
// above are sources, tanks and the open air at openings.
struct Core {
  uint32_t unknowns = 0;
  std::vector<double> head_m;           // size all nodes
  std::vector<double> demand_m3_per_s;  // size unknowns, with what their trees draw
  std::vector<CoreLink> links;
  std::vector<double> flow_m3_per_s;  // size links; a guess at first
  std::vector<CoreValve> valves;
};

// A network with its trees taken off. Trees are of plain pipes alone: everything else stays in the core.
struct CoreProblem {
  Core core;
  std::vector<std::optional<uint32_t>> core_node;  // size nodes; none in trees and where nothing is fed
  std::vector<char> fed;                           // size nodes
  std::vector<LinkLaw> laws;                       // size links; nothing where not fed
  HangingForest forest;
  std::vector<double> tree_demand_m3_per_s;  // size nodes: drawn at a tree's node and beyond it
};

// ERROR: kBadInput naming a link or node and what it lacks, for parts that are fed. COST: O(nodes + links).
Result<CoreProblem> MakeCore(const Network& network, const Supply& supply);

}  // namespace lastreach
