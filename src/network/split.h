#pragma once

#include <string>
#include <unordered_set>
#include <vector>

#include "network/network.h"

namespace lastreach {

// A place along a link, from its `from` end.
struct LinkPlace {
  LinkIndex link{};
  double along_m = 0;
  friend bool operator==(const LinkPlace&, const LinkPlace&) = default;
};

// Cuts links at places, so that each place has a node; gives the node of each, in the order of `places`.
// Places closer than a millimetre to each other or to an end of the link share one node.
//
// The first piece keeps the link's index and id; the others come behind all links, "M12.2", "M12.3", and the
// new nodes are called as the piece that begins there. Every other index stays. A piece has its share of
// length, line and place on the drawn main; the link's minor loss, and being a check valve, stay with the
// first piece; a new node takes the zone of the link and, where both ends have one, the elevation between
// theirs (estimated). Connections, and the places in `kept`, move to the piece they lie on. REQUIRES: the
// links cut are pipes or check valves. COST: O(n log n) in places, links and connections.
std::vector<NodeIndex> SplitLinks(Network& network, const std::vector<LinkPlace>& places,
                                  std::vector<LinkPlace>* kept = nullptr);

// Puts a link of no length between `node` and the end of `beside` that meets it: a shut valve, a pump. It
// runs the way `beside` does. Gives the new link; its new node is the last one of the network. REQUIRES:
// `beside` meets `node`; `id` is that of no link or node.
LinkIndex InsertAt(Network& network, NodeIndex node, LinkIndex beside, LinkKind kind, const std::string& id);

// Names that neither a node nor a link of the network has.
class FreshNames {
 public:
  explicit FreshNames(const Network& network);
  std::string Take(
      const std::string& wanted);  // `wanted`, or with "-2", "-3"... behind it; taken from now on

 private:
  std::unordered_set<std::string> taken_;
};

}  // namespace lastreach
