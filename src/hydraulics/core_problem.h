#pragma once

#include <cstdint>
#include <vector>

#include "hydraulics/link_law.h"
#include "hydraulics/pipe_rows.h"
#include "network/network.h"

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
};

// What has changed of a core since it was solved.
struct CoreChange {
  struct Drawn {
    uint32_t node = 0;
    double more_m3_per_s = 0;
  };
  std::vector<Drawn> drawn;     // a node may come more than once
  std::vector<uint32_t> links;  // whose laws, flows or flows drawn on the way are others
};

// What is left to solve once trees of pipes are summed and pipes in a row are one link: nodes 0 .. unknowns -
// 1 have unknown heads; those above are sources, the water of tanks and the open air at openings.
//
// Links 0 .. Chains() - 1 are chains of plain pipes, rows row_begin[c] .. row_begin[c + 1] - 1 of `pipes`,
// all turned the chain's way: the first carries the chain's flow, each the less by what is drawn before it,
//
//   h(q) = sum of h_i(q - drawn_i)
//
// which rises as each h_i does. The links after them have laws of their own.
struct Core {
  uint32_t unknowns = 0;
  std::vector<double> head_m;           // size all nodes
  std::vector<double> demand_m3_per_s;  // size unknowns: of the node, of its trees, of chains that end there
  std::vector<CoreLink> links;
  std::vector<double> flow_m3_per_s;      // size links; a guess at first
  std::vector<double> guess_m3_per_s;     // size links: to begin anew with
  std::vector<uint32_t> row_begin = {0};  // size chains + 1
  size_t single_chains = 0;               // the first chains, of one pipe each
  PipeRows pipes;
  std::vector<double> drawn_m3_per_s;  // size pipes
  std::vector<LinkLaw> laws;           // of links Chains() and on
  std::vector<CoreValve> valves;

  size_t Chains() const { return row_begin.size() - 1; }
  LinkLaw& LawOf(size_t link) { return laws[link - Chains()]; }
  const LinkLaw& LawOf(size_t link) const { return laws[link - Chains()]; }
};

}  // namespace lastreach
