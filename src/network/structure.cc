#include "network/structure.h"

#include <algorithm>
#include <limits>

namespace lastreach {
namespace {

constexpr uint32_t kNone = std::numeric_limits<uint32_t>::max();

}  // namespace

NodeIndex OtherEnd(const Link& link, NodeIndex node) { return link.from == node ? link.to : link.from; }

bool IsFeeder(const Node& node) { return node.kind != NodeKind::kJunction; }

Adjacency::Adjacency(const Network& network, ShutLinks shut)
    : start_(network.nodes.size() + 1, 0), links_(network.links.size()) {
  const auto is_kept = [&](const Link& link) { return shut == ShutLinks::kKept || !IsShut(link); };
  for (const Link& link : network.links) {
    if (!is_kept(link)) continue;
    ++start_[At(link.from) + 1];
    ++start_[At(link.to) + 1];
  }
  for (size_t i = 1; i < start_.size(); ++i) start_[i] += start_[i - 1];
  ways_.resize(start_.back());
  std::vector<uint32_t> next(start_.begin(), start_.end() - 1);
  for (size_t i = 0; i < network.links.size(); ++i) {
    const Link& link = network.links[i];
    if (!is_kept(link)) continue;
    ways_[next[At(link.from)]++] = {LinkIndex(i), link.to};
    ways_[next[At(link.to)]++] = {LinkIndex(i), link.from};
  }
}

Parts ConnectedParts(const Adjacency& adjacency) {
  Parts parts;
  parts.of_node.assign(adjacency.nodes(), kNone);
  std::vector<NodeIndex> stack;
  for (size_t first = 0; first < adjacency.nodes(); ++first) {
    if (parts.of_node[first] != kNone) continue;
    parts.of_node[first] = parts.count;
    stack.push_back(NodeIndex(first));
    while (!stack.empty()) {
      const NodeIndex node = stack.back();
      stack.pop_back();
      for (const Way& way : adjacency.From(node)) {
        if (parts.of_node[At(way.to)] != kNone) continue;
        parts.of_node[At(way.to)] = parts.count;
        stack.push_back(way.to);
      }
    }
    ++parts.count;
  }
  return parts;
}

std::vector<char> LinksOnLoops(const Adjacency& adjacency) {
  std::vector<char> on_loop(adjacency.links(), 0);
  std::vector<uint32_t> order(adjacency.nodes(), kNone);  // in which nodes were first seen
  std::vector<uint32_t> lowest(adjacency.nodes(), 0);     // earliest node that a way round reaches
  struct Visit {
    NodeIndex node;
    uint32_t arrived_by;  // link, or kNone
    size_t next_way;
  };
  std::vector<Visit> stack;
  uint32_t seen = 0;
  for (size_t first = 0; first < adjacency.nodes(); ++first) {
    if (order[first] != kNone) continue;
    order[first] = lowest[first] = seen++;
    stack.push_back({NodeIndex(first), kNone, 0});
    while (!stack.empty()) {
      Visit& visit = stack.back();
      const size_t here = At(visit.node);
      const auto ways = adjacency.From(visit.node);
      if (visit.next_way < ways.size()) {
        const Way way = ways[visit.next_way++];
        if (static_cast<uint32_t>(way.link) == visit.arrived_by) continue;
        if (order[At(way.to)] == kNone) {
          order[At(way.to)] = lowest[At(way.to)] = seen++;
          stack.push_back({way.to, static_cast<uint32_t>(way.link), 0});
        } else {
          on_loop[At(way.link)] = 1;
          lowest[here] = std::min(lowest[here], order[At(way.to)]);
        }
        continue;
      }
      const uint32_t arrived_by = visit.arrived_by;
      stack.pop_back();
      if (stack.empty()) break;
      const size_t before = At(stack.back().node);
      if (lowest[here] <= order[before]) on_loop[arrived_by] = 1;
      lowest[before] = std::min(lowest[before], lowest[here]);
    }
  }
  return on_loop;
}

HangingForest ForestOf(const Adjacency& adjacency, const std::vector<char>& keep) {
  HangingForest forest;
  forest.parent.resize(adjacency.nodes());
  std::vector<size_t> degree(adjacency.nodes());
  std::vector<char> taken(adjacency.nodes(), 0);
  const auto may_go = [&](size_t node) { return degree[node] == 1 && (keep.empty() || keep[node] == 0); };
  for (size_t i = 0; i < degree.size(); ++i) degree[i] = adjacency.Degree(NodeIndex(i));
  for (size_t i = 0; i < degree.size(); ++i) {
    if (may_go(i)) forest.ends_first.push_back(NodeIndex(i));
  }
  size_t written = 0;
  for (size_t read = 0; read < forest.ends_first.size(); ++read) {
    const NodeIndex node = forest.ends_first[read];
    // Its neighbour may have been the last to go before it: then it is what remains of its part.
    if (degree[At(node)] != 1) continue;
    forest.ends_first[written++] = node;
    taken[At(node)] = 1;
    degree[At(node)] = 0;
    for (const Way& way : adjacency.From(node)) {
      if (taken[At(way.to)] != 0) continue;
      forest.parent[At(node)] = way.link;
      --degree[At(way.to)];
      if (may_go(At(way.to))) forest.ends_first.push_back(way.to);
    }
  }
  forest.ends_first.resize(written);
  return forest;
}

std::vector<Chain> ChainsOf(const Network& network, const Adjacency& adjacency) {
  const auto goes_on = [&](NodeIndex node) {
    return adjacency.Degree(node) == 2 && !IsFeeder(network[node]);
  };
  std::vector<Chain> chains;
  std::vector<char> in_chain(network.links.size(), 0);
  // Follows the chain out of `node` by `link` to where it ends, or back to where it began.
  const auto follow = [&](NodeIndex node, LinkIndex link) {
    Chain chain;
    chain.from = node;
    while (true) {
      in_chain[At(link)] = 1;
      chain.links.push_back(link);
      node = OtherEnd(network[link], node);
      chain.to = node;
      if (!goes_on(node)) return chain;
      const auto ways = adjacency.From(node);
      const LinkIndex next = ways[0].link == link ? ways[1].link : ways[0].link;
      if (in_chain[At(next)] != 0) return chain;
      link = next;
    }
  };
  for (size_t i = 0; i < adjacency.nodes(); ++i) {
    if (goes_on(NodeIndex(i))) continue;
    for (const Way& way : adjacency.From(NodeIndex(i))) {
      if (in_chain[At(way.link)] == 0) chains.push_back(follow(NodeIndex(i), way.link));
    }
  }
  for (size_t i = 0; i < adjacency.nodes(); ++i) {  // rings that nothing is joined to
    for (const Way& way : adjacency.From(NodeIndex(i))) {
      if (in_chain[At(way.link)] == 0) chains.push_back(follow(NodeIndex(i), way.link));
    }
  }
  std::sort(chains.begin(), chains.end(),
            [](const Chain& a, const Chain& b) { return a.links.front() < b.links.front(); });
  return chains;
}

}  // namespace lastreach
