#pragma once

#include <cstdint>
#include <vector>

#include "hydraulics/core_layout.h"
#include "network/network.h"
#include "network/structure.h"

namespace lastreach {

// A network taken apart: trees of pipes, chains of pipes, and links that stand for themselves. Numbers are
// those of the network.
struct CoreSplit {
  struct Span {
    uint32_t from = 0;            // the node where the chain begins; it may end there too
    uint32_t begin = 0, end = 0;  // its rows
  };
  std::vector<CoreLayout::TreePipe> trees;
  std::vector<uint32_t> unknown_nodes;  // ends of chains and of specials that hold no head
  std::vector<Span> chains;
  std::vector<CoreLayout::Row> rows;
  std::vector<uint32_t> specials;
};
CoreSplit SplitCore(const Network& network, const Adjacency& adjacency, const LayoutRequest& request);

}  // namespace lastreach
