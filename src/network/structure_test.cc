#include "network/structure.h"

#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <algorithm>
#include <numeric>
#include <set>
#include <utility>

namespace lastreach {
namespace {

Network Graph(size_t nodes, const std::vector<std::pair<unsigned, unsigned>>& links) {
  Network network;
  network.nodes.resize(nodes);
  for (const auto& [from, to] : links) {
    Link link;
    link.from = NodeIndex(from);
    link.to = NodeIndex(to);
    network.links.push_back(link);
  }
  return network;
}

// Any graph of up to 14 nodes, with parallel links, links to themselves and shut ones.
Network AnyGraph() {
  const auto nodes = *rc::gen::inRange<unsigned>(1, 15);
  const auto links = *rc::gen::container<std::vector<std::pair<unsigned, unsigned>>>(
      rc::gen::pair(rc::gen::inRange<unsigned>(0, nodes), rc::gen::inRange<unsigned>(0, nodes)));
  Network network = Graph(nodes, links);
  for (Link& link : network.links) {
    if (*rc::gen::inRange(0, 6) == 0) link.kind = LinkKind::kClosed;
  }
  return network;
}

// The slow way: each node takes the least number among those it is joined to, until nothing changes.
std::vector<size_t> SlowParts(const Network& network, size_t without_link = SIZE_MAX) {
  std::vector<size_t> part(network.nodes.size());
  std::iota(part.begin(), part.end(), size_t{0});
  for (bool changed = true; changed;) {
    changed = false;
    for (size_t i = 0; i < network.links.size(); ++i) {
      const Link& link = network.links[i];
      if (i == without_link || IsShut(link)) continue;
      const size_t least = std::min(part[At(link.from)], part[At(link.to)]);
      for (const NodeIndex end : {link.from, link.to}) {
        changed |= part[At(end)] != least;
        part[At(end)] = least;
      }
    }
  }
  return part;
}

size_t SlowCount(const Network& network, size_t without_link = SIZE_MAX) {
  const std::vector<size_t> parts = SlowParts(network, without_link);
  return std::set<size_t>(parts.begin(), parts.end()).size();
}

TEST(Structure, PartsAreThoseFoundBySpreadingNumbers) {
  EXPECT_TRUE(rc::check([] {
    const Network network = AnyGraph();
    const Parts parts = ConnectedParts(Adjacency(network));
    const std::vector<size_t> slow = SlowParts(network);
    RC_ASSERT(parts.count == SlowCount(network));
    for (size_t a = 0; a < slow.size(); ++a) {
      for (size_t b = 0; b < slow.size(); ++b) {
        RC_ASSERT((parts.of_node[a] == parts.of_node[b]) == (slow[a] == slow[b]));
      }
    }
  }));
}

TEST(Structure, ALinkLiesOnALoopIfTakingItAwayPartsNothing) {
  EXPECT_TRUE(rc::check([] {
    const Network network = AnyGraph();
    const std::vector<char> on_loop = LinksOnLoops(Adjacency(network));
    const size_t whole = SlowCount(network);
    for (size_t i = 0; i < network.links.size(); ++i) {
      const bool round = !IsShut(network.links[i]) && SlowCount(network, i) == whole;
      RC_ASSERT((on_loop[i] != 0) == round);
    }
  }));
}

TEST(Structure, ShutLinksCountOnlyWhereTheyAreKept) {
  Network network = Graph(2, {{0, 1}});
  network.links[0].kind = LinkKind::kClosed;
  EXPECT_EQ(ConnectedParts(Adjacency(network)).count, 2u);
  EXPECT_EQ(ConnectedParts(Adjacency(network, ShutLinks::kKept)).count, 1u);
}

TEST(Structure, AMillionLinksInARowNeedNoRecursion) {
  std::vector<std::pair<unsigned, unsigned>> row;
  for (unsigned i = 0; i < 1'000'000; ++i) row.emplace_back(i, i + 1);
  Network network = Graph(1'000'001, row);
  std::vector<char> on_loop = LinksOnLoops(Adjacency(network));
  EXPECT_EQ(std::count(on_loop.begin(), on_loop.end(), 1), 0);
  Link closing;
  closing.from = NodeIndex(1'000'000);
  closing.to = NodeIndex(0);
  network.links.push_back(closing);
  on_loop = LinksOnLoops(Adjacency(network));
  EXPECT_EQ(std::count(on_loop.begin(), on_loop.end(), 1), 1'000'001);
}

// What is left when ends are taken away: every node of it has two ways within it, is kept, or is alone.
TEST(Structure, TheForestIsWhatCanBeTakenAwayEndByEnd) {
  EXPECT_TRUE(rc::check([] {
    const Network network = AnyGraph();
    const Adjacency adjacency(network);
    std::vector<char> keep(network.nodes.size(), 0);
    keep[0] = *rc::gen::arbitrary<bool>() ? 1 : 0;
    const HangingForest forest = ForestOf(adjacency, keep);
    std::vector<char> left(network.nodes.size(), 1);
    const auto ways_left = [&](NodeIndex node) {
      size_t count = 0;
      for (const Way& way : adjacency.From(node)) count += left[At(way.to)];
      return count;
    };
    for (const NodeIndex node : forest.ends_first) {
      RC_ASSERT(ways_left(node) == 1u);  // an end when its turn comes
      RC_ASSERT(keep[At(node)] == 0);
      const auto parent = forest.parent[At(node)];
      RC_ASSERT(parent.has_value());
      left[At(node)] = 0;
      RC_ASSERT(left[At(OtherEnd(network[*parent], node))] == 1);
    }
    for (size_t i = 0; i < left.size(); ++i) {
      if (left[i] == 0) continue;
      RC_ASSERT(!forest.parent[i].has_value());
      RC_ASSERT(ways_left(NodeIndex(i)) != 1u || keep[i] != 0);
    }
  }));
}

TEST(Structure, ATreeWithoutASourceKeepsOneNodeAndWithOneHangsOnIt) {
  const Network tree = Graph(5, {{0, 1}, {1, 2}, {1, 3}, {3, 4}});
  EXPECT_EQ(ForestOf(Adjacency(tree)).ends_first.size(), 4u);
  const HangingForest forest = ForestOf(Adjacency(tree), {0, 0, 0, 0, 1});
  EXPECT_EQ(forest.parent[0], LinkIndex(0));
  EXPECT_EQ(forest.parent[1], LinkIndex(2));
  EXPECT_EQ(forest.parent[3], LinkIndex(3));
  EXPECT_FALSE(forest.parent[4]);
}

TEST(Structure, EveryOpenLinkIsInOneChainThatForksNowhere) {
  EXPECT_TRUE(rc::check([] {
    Network network = AnyGraph();
    if (*rc::gen::arbitrary<bool>()) network.nodes[0].kind = NodeKind::kTank;
    const Adjacency adjacency(network);
    std::vector<int> times(network.links.size(), 0);
    for (const Chain& chain : ChainsOf(network, adjacency)) {
      NodeIndex node = chain.from;
      for (size_t i = 0; i < chain.links.size(); ++i) {
        ++times[At(chain.links[i])];
        RC_ASSERT(i == 0 || (adjacency.Degree(node) == 2 && !IsFeeder(network[node])));
        node = OtherEnd(network[chain.links[i]], node);
      }
      RC_ASSERT(node == chain.to);
      const bool ring = chain.from == chain.to;
      RC_ASSERT(ring || adjacency.Degree(chain.from) != 2 || IsFeeder(network[chain.from]));
      RC_ASSERT(ring || adjacency.Degree(chain.to) != 2 || IsFeeder(network[chain.to]));
    }
    for (size_t i = 0; i < times.size(); ++i) RC_ASSERT(times[i] == (IsShut(network.links[i]) ? 0 : 1));
  }));
}

}  // namespace
}  // namespace lastreach
