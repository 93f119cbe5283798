#include "hydraulics/core_chains.h"

namespace lastreach {
namespace {

class Splitter {
 public:
  Splitter(const Network& network, const Adjacency& adjacency, const LayoutRequest& request)
      : network_(network), adjacency_(adjacency), request_(request) {}

  CoreSplit Split();

 private:
  void TakeTrees();
  void FindInteriors();
  void Follow(size_t node, Way way);
  Way Onward(size_t node, LinkIndex link) const;
  bool IsSpecial(LinkIndex link) const {
    return network_[link].kind != LinkKind::kPipe ||
           (!request_.may_shut.empty() && request_.may_shut[At(link)] != 0);
  }
  bool JoinsCore(size_t node, const Way& way) const { return in_core_[At(way.to)] && At(way.to) != node; }

  const Network& network_;
  const Adjacency& adjacency_;
  const LayoutRequest& request_;
  CoreSplit split_;
  std::vector<char> keep_, in_core_, interior_;  // size nodes
  std::vector<char> used_;                       // size links
};

void Splitter::TakeTrees() {
  keep_.assign(network_.nodes.size(), 0);
  for (size_t i = 0; i < keep_.size(); ++i) {
    keep_[i] = IsFeeder(network_.nodes[i]) || (!request_.falls_short.empty() && request_.falls_short[i] != 0);
  }
  for (const NodeIndex node : request_.openings) keep_[At(node)] = 1;
  for (const Link& link : network_.links) {
    if (IsShut(link) || link.kind == LinkKind::kPipe) continue;
    keep_[At(link.from)] = 1;
    keep_[At(link.to)] = 1;
  }
  const HangingForest forest = ForestOf(adjacency_, keep_);
  in_core_ = request_.fed;
  for (const NodeIndex node : forest.ends_first) {
    if (in_core_[At(node)] == 0) continue;
    in_core_[At(node)] = 0;
    const LinkIndex index = *forest.parent[At(node)];
    const Link& link = network_[index];
    split_.trees.push_back({static_cast<uint32_t>(At(node)), static_cast<uint32_t>(At(OtherEnd(link, node))),
                            static_cast<uint32_t>(At(index)), link.to == node});
  }
}

void Splitter::FindInteriors() {
  interior_.assign(in_core_.size(), 0);
  for (size_t i = 0; i < interior_.size(); ++i) {
    if (in_core_[i] == 0 || keep_[i] != 0) continue;
    size_t plain = 0;
    bool is_plain = true;
    for (const Way& way : adjacency_.From(NodeIndex(i))) {
      if (!JoinsCore(i, way)) continue;
      ++plain;
      is_plain = is_plain && !IsSpecial(way.link);
    }
    interior_[i] = is_plain && plain == 2;
  }
}

Way Splitter::Onward(size_t node, LinkIndex link) const {
  for (const Way& way : adjacency_.From(NodeIndex(node))) {
    if (way.link != link && JoinsCore(node, way)) return way;
  }
  return {link, NodeIndex(node)};
}

void Splitter::Follow(size_t node, Way way) {
  CoreSplit::Span chain;
  chain.from = static_cast<uint32_t>(node);
  chain.begin = static_cast<uint32_t>(split_.rows.size());
  for (;;) {
    used_[At(way.link)] = 1;
    split_.rows.push_back({static_cast<uint32_t>(At(way.link)), static_cast<uint32_t>(At(way.to)),
                           At(network_[way.link].from) == node});
    node = At(way.to);
    if (interior_[node] == 0) break;
    way = Onward(node, way.link);
  }
  chain.end = static_cast<uint32_t>(split_.rows.size());
  split_.chains.push_back(chain);
}

CoreSplit Splitter::Split() {
  TakeTrees();
  FindInteriors();
  used_.assign(network_.links.size(), 0);
  for (size_t i = 0; i < in_core_.size(); ++i) {
    if (in_core_[i] == 0 || interior_[i] != 0) continue;
    if (network_.nodes[i].kind != NodeKind::kSource) split_.unknown_nodes.push_back(static_cast<uint32_t>(i));
    for (const Way& way : adjacency_.From(NodeIndex(i))) {
      if (used_[At(way.link)] != 0 || !JoinsCore(i, way)) continue;
      if (!IsSpecial(way.link)) {
        Follow(i, way);
        continue;
      }
      used_[At(way.link)] = 1;
      split_.specials.push_back(static_cast<uint32_t>(At(way.link)));
    }
  }
  return std::move(split_);
}

}  // namespace

CoreSplit SplitCore(const Network& network, const Adjacency& adjacency, const LayoutRequest& request) {
  return Splitter(network, adjacency, request).Split();
}

}  // namespace lastreach
