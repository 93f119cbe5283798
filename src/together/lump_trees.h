#pragma once

#include <vector>

#include "network/network.h"

namespace lastreach {

// A network without branches nobody asks about.
struct LumpedNetwork {
  Network network;
  // Size of the nodes there were: itself, or where what it draws is drawn now.
  std::vector<NodeIndex> node_of;
};

// What hangs on the rest as a tree of plain pipes and has no node of `keep` in it is taken away, and what it
// draws is drawn where it hung: flows in what remains are the same, and so is the water that reaches it,
// because nothing ever comes back out of such a tree. Runs move too. Left as they are: trees with a source, a
// tank, a leak, a valve, a pump or a rule, with another pattern of use than where they hang, or with
// connections along their links; and all of them where demands depend on pressure.
// COST: O(nodes + links).
LumpedNetwork LumpTrees(const Network& network, const std::vector<NodeIndex>& keep);

}  // namespace lastreach
