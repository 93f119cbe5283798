#pragma once

#include <vector>

#include "map/clean.h"
#include "map/noding.h"
#include "network/drawing.h"
#include "network/network.h"

namespace lastreach {

struct BuiltNetwork {
  Network network;
  std::vector<SetAside> set_aside;  // pieces drawn twice
};

// The network of cut lines: a node for every node that stands, a link for every piece of line between two of
// them, with the piece's geometry and what its main tells. A piece that comes back to its own node is cut in
// two half-way; one of two pieces drawn over each other is set aside, and listed from half a metre on.
// Ids: a link has its main's key, with ".2" for the second piece of it; nodes are numbered from west to east.
BuiltNetwork BuildNetwork(const Noding& noding, const Drawing& drawing, const Plane& plane);

}  // namespace lastreach
