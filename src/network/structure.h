#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "network/network.h"

namespace lastreach {

enum class ShutLinks { kLeftOut, kKept };

// One way from a node: along `link` to the node at its other end.
struct Way {
  LinkIndex link{};
  NodeIndex to{};
};

// Who is joined to whom, in compressed rows: the ways from node n are ways_[start_[n]] to ways_[start_[n +
// 1]], in order of link. A link from a node to itself is two ways of it. COST: O(nodes + links), no
// allocation a node.
class Adjacency {
 public:
  explicit Adjacency(const Network& network, ShutLinks shut = ShutLinks::kLeftOut);

  std::span<const Way> From(NodeIndex node) const {
    return {ways_.data() + start_[At(node)], ways_.data() + start_[At(node) + 1]};
  }
  size_t Degree(NodeIndex node) const { return start_[At(node) + 1] - start_[At(node)]; }
  size_t nodes() const { return start_.size() - 1; }
  size_t links() const { return links_; }  // of the network, those left out too

 private:
  std::vector<uint32_t> start_;  // size nodes + 1
  std::vector<Way> ways_;        // size twice the links kept
  size_t links_ = 0;
};

// Connected parts, numbered in order of their first node.
struct Parts {
  std::vector<uint32_t> of_node;  // size nodes
  uint32_t count = 0;
};
Parts ConnectedParts(const Adjacency& adjacency);

// Whether each link lies on a loop: taken away, its two ends are still joined. Links left out of the
// adjacency lie on none. Parallel links and a link from a node to itself lie on one. COST: O(nodes + links),
// no recursion. SOURCE: Tarjan, A note on finding the bridges of a graph, Information Processing Letters
// 2(6), 160-161, 1974 (from memory); held against taking each link away in the tests.
std::vector<char> LinksOnLoops(const Adjacency& adjacency);

// The trees that hang on the rest: what is left when ends are taken away one after another, until only loops,
// the ways between them and the nodes to keep remain. A part without loops or kept nodes keeps one node.
struct HangingForest {
  std::vector<std::optional<LinkIndex>> parent;  // size nodes: towards the rest; none of what remains
  std::vector<NodeIndex> ends_first;             // the nodes of the trees, each before its parent
};
// `keep`: nodes never taken away, sources and tanks say; size nodes or empty for none.
HangingForest ForestOf(const Adjacency& adjacency, const std::vector<char>& keep = {});

// Links in a row through junctions that join nothing else: from one node that ends, forks or feeds to the
// next.
struct Chain {
  std::vector<LinkIndex> links;  // in order
  NodeIndex from{};
  NodeIndex to{};  // equal to `from` for a ring
};
// Every link of the adjacency is in one chain, once. Ordered by their first link.
std::vector<Chain> ChainsOf(const Network& network, const Adjacency& adjacency);

// The node at the other end of `link`; `node` itself for a link from a node to itself.
NodeIndex OtherEnd(const Link& link, NodeIndex node);

// Whether water enters the network here.
bool IsFeeder(const Node& node);

}  // namespace lastreach
