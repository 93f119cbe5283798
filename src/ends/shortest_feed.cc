#include "ends/shortest_feed.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <queue>
#include <tuple>

namespace lastreach {
namespace {

constexpr double kInfinite = std::numeric_limits<double>::infinity();
constexpr double kDiameterExponent = 4.87;
constexpr double kQuarterPi = 0.785398163397448309616;

double ResistanceOf(const Link& link, const FeedOptions& options) {
  return std::max(link.length_m.value, 1.0) / std::pow(WidthOf_m(link, options), kDiameterExponent);
}

// Ways of least resistance, grown from one set of roots after another.
class Ways {
 public:
  Ways(const Network& network, const Adjacency& adjacency, const FeedOptions& options, ShortestFeed& feed)
      : network_(network), adjacency_(adjacency), options_(options), feed_(feed) {
    far_.assign(network.nodes.size(), kInfinite);
    done_.assign(network.nodes.size(), 0);
  }

  bool HasReached(NodeIndex node) const { return done_[At(node)] != 0; }

  void GrowFrom(const std::vector<NodeIndex>& roots) {
    std::priority_queue<Entry, std::vector<Entry>, std::greater<>> queue;
    for (const NodeIndex root : roots) {
      far_[At(root)] = 0;
      feed_.root[At(root)] = root;
      queue.push({0, root});
    }
    while (!queue.empty()) {
      const auto [far, node] = queue.top();
      queue.pop();
      if (HasReached(node)) continue;
      done_[At(node)] = 1;
      feed_.farthest_last.push_back(node);
      for (const Way& way : adjacency_.From(node)) {
        const Link& link = network_[way.link];
        if ((IsOneWay(link) && link.from != node) || HasReached(way.to)) continue;
        const double beyond = far + ResistanceOf(link, options_);
        if (beyond >= far_[At(way.to)]) continue;
        far_[At(way.to)] = beyond;
        feed_.parent[At(way.to)] = way.link;
        feed_.root[At(way.to)] = feed_.root[At(node)];
        queue.push({beyond, way.to});
      }
    }
  }

  void GrowFromAssumed(NodeIndex root) {
    if (HasReached(root)) return;
    feed_.assumed_roots.push_back(root);
    const size_t first = feed_.farthest_last.size();
    GrowFrom({root});
    for (size_t i = first; i < feed_.farthest_last.size(); ++i) {
      feed_.is_assumed[At(feed_.farthest_last[i])] = 1;
    }
  }

  // Where the two ways to a link that is on neither are equally long, from its `from` end.
  double CutOf_m(const Link& link) const {
    const double r = ResistanceOf(link, options_);
    const double share = (far_[At(link.to)] - far_[At(link.from)] + r) / (2 * r);
    return link.length_m.value * std::clamp(share, 0.0, 1.0);
  }

 private:
  using Entry = std::tuple<double, NodeIndex>;
  const Network& network_;
  const Adjacency& adjacency_;
  const FeedOptions& options_;
  ShortestFeed& feed_;
  std::vector<double> far_;
  std::vector<char> done_;
};

// The widest open link of each part that nothing has reached; of equally wide ones the longest.
std::vector<LinkIndex> WidestUnreached(const Network& network, const Adjacency& adjacency,
                                       const FeedOptions& options, const Ways& ways) {
  const Parts parts = ConnectedParts(adjacency);
  std::vector<char> is_fed(parts.count, 0);
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    if (ways.HasReached(NodeIndex(i))) is_fed[parts.of_node[i]] = 1;
  }
  std::vector<std::optional<LinkIndex>> widest(parts.count);
  const auto size_of = [&](LinkIndex link) {
    return std::make_pair(WidthOf_m(network[link], options), network[link].length_m.value);
  };
  for (size_t i = 0; i < network.links.size(); ++i) {
    const Link& link = network.links[i];
    const uint32_t part = parts.of_node[At(link.from)];
    if (IsShut(link) || is_fed[part] != 0) continue;
    if (!widest[part] || size_of(LinkIndex(i)) > size_of(*widest[part])) widest[part] = LinkIndex(i);
  }
  std::vector<LinkIndex> links;
  for (const auto& link : widest) {
    if (link) links.push_back(*link);
  }
  return links;
}

void GrowAll(const Network& network, const Adjacency& adjacency, const FeedOptions& options, Ways& ways,
             ShortestFeed& feed) {
  std::vector<NodeIndex> feeders;
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    if (IsFeeder(network.nodes[i])) feeders.push_back(NodeIndex(i));
  }
  ways.GrowFrom(feeders);
  for (const LinkIndex link : WidestUnreached(network, adjacency, options, ways)) {
    const NodeIndex from = network[link].from;
    const NodeIndex to = network[link].to;
    ways.GrowFromAssumed(adjacency.Degree(to) > adjacency.Degree(from) ? to : from);
  }
  // What is left lies behind one-way links: their water comes through them, drawn the wrong way round.
  for (const Link& link : network.links) {
    if (IsOneWay(link) && ways.HasReached(link.to)) ways.GrowFromAssumed(link.from);
  }
  for (const Link& link : network.links) {
    if (IsShut(link)) continue;
    ways.GrowFromAssumed(link.from);
    ways.GrowFromAssumed(link.to);
  }
  std::vector<char> brings(network.links.size(), 0);
  for (size_t i = 0; i < network.nodes.size(); ++i) {
    if (!feed.parent[i]) continue;
    brings[At(*feed.parent[i])] = 1;
    const Link& link = network[*feed.parent[i]];
    feed.links[At(*feed.parent[i])].fed_by = At(link.to) == i ? FedBy::kFrom : FedBy::kTo;
  }
  for (size_t i = 0; i < network.links.size(); ++i) {
    const Link& link = network.links[i];
    if (IsShut(link) || brings[i] != 0) continue;
    feed.links[i].fed_by = IsOneWay(link) ? FedBy::kFrom : FedBy::kBoth;
    if (!IsOneWay(link)) feed.links[i].cut_m = ways.CutOf_m(link);
  }
}

int SideOf(const LinkFeed& feed, double along_m) {
  if (feed.fed_by == FedBy::kBoth) return along_m <= feed.cut_m ? 0 : 1;
  return feed.fed_by == FedBy::kTo ? 1 : 0;
}

void SumDemands(const Network& network, ShortestFeed& feed) {
  for (const Connection& connection : network.connections) {
    LinkFeed& link = feed.links[At(connection.link)];
    if (link.fed_by == FedBy::kNothing) continue;
    const int side = SideOf(link, connection.along_m);
    link.drawn_m3_per_s[side] += connection.demand_m3_per_s.value;
    link.services[side] += connection.count;
  }
  for (const NodeIndex node : feed.farthest_last)
    feed.flow_m3_per_s[At(node)] = network[node].demand_m3_per_s;
  for (size_t i = 0; i < network.links.size(); ++i) {
    const LinkFeed& link = feed.links[i];
    for (const int side : {0, 1}) {
      const size_t node = At(side == 0 ? network.links[i].from : network.links[i].to);
      feed.flow_m3_per_s[node] += link.drawn_m3_per_s[side];
      feed.services[node] += link.services[side];
    }
  }
  for (size_t i = feed.farthest_last.size(); i-- > 0;) {
    const NodeIndex node = feed.farthest_last[i];
    const auto& parent = feed.parent[At(node)];
    if (!parent) continue;
    const NodeIndex before = OtherEnd(network[*parent], node);
    feed.links[At(*parent)].carried_on_m3_per_s = feed.flow_m3_per_s[At(node)];
    feed.flow_m3_per_s[At(before)] += feed.flow_m3_per_s[At(node)];
    feed.services[At(before)] += feed.services[At(node)];
  }
}

void AddAges(const Network& network, const FeedOptions& options, ShortestFeed& feed) {
  const std::vector<size_t> first = FirstConnections(network);
  for (const NodeIndex node : feed.farthest_last) {
    const auto& parent = feed.parent[At(node)];
    double& age_s = feed.age_s[At(node)];
    if (!parent) {
      age_s = feed.flow_m3_per_s[At(node)] > 0 ? 0 : kInfinite;
      continue;
    }
    const Link& link = network[*parent];
    const LinkFeed& mine = feed.links[At(*parent)];
    if (!(mine.carried_on_m3_per_s > 0)) continue;
    const int side = link.to == node ? 0 : 1;
    age_s = feed.age_s[At(OtherEnd(link, node))] +
            TravelTime_s(StretchesOf(network, first, mine, *parent, side), WidthOf_m(link, options));
  }
}

}  // namespace

bool IsOneWay(const Link& link) { return link.kind != LinkKind::kPipe && link.kind != LinkKind::kClosed; }

double WidthOf_m(const Link& link, const FeedOptions& options) {
  return link.inner_diameter_m && link.inner_diameter_m->value > 0 ? link.inner_diameter_m->value
                                                                   : options.assumed_diameter_m;
}

std::vector<size_t> FirstConnections(const Network& network) {
  std::vector<size_t> first(network.links.size() + 1, 0);
  for (const Connection& connection : network.connections) ++first[At(connection.link) + 1];
  for (size_t i = 1; i < first.size(); ++i) first[i] += first[i - 1];
  return first;
}

std::vector<FlowStretch> StretchesOf(const Network& network, const std::vector<size_t>& first_connection,
                                     const LinkFeed& feed, LinkIndex link, int side) {
  const FedBy this_end = side == 0 ? FedBy::kFrom : FedBy::kTo;
  if (feed.fed_by != this_end && feed.fed_by != FedBy::kBoth) return {};
  const double whole_m = network[link].length_m.value;
  double end_m = whole_m;  // of the part, from the end that feeds it
  if (feed.fed_by == FedBy::kBoth) end_m = side == 0 ? feed.cut_m : whole_m - feed.cut_m;
  // From the far end backwards, so that where nothing is drawn beyond the flow is exactly nothing.
  std::vector<FlowStretch> stretches;
  double flow_m3_per_s = feed.carried_on_m3_per_s;
  double until_m = end_m;
  const size_t begin = first_connection[At(link)];
  const size_t end = first_connection[At(link) + 1];
  for (size_t k = 0; k < end - begin; ++k) {
    const Connection& connection = network.connections[side == 0 ? end - 1 - k : begin + k];
    if (SideOf(feed, connection.along_m) != side) continue;
    const double from_end_m = side == 0 ? connection.along_m : whole_m - connection.along_m;
    const double at_m = std::clamp(from_end_m, 0.0, until_m);
    if (until_m > at_m) stretches.push_back({until_m - at_m, flow_m3_per_s});
    flow_m3_per_s += connection.demand_m3_per_s.value;
    until_m = at_m;
  }
  if (until_m > 0) stretches.push_back({until_m, flow_m3_per_s});
  std::reverse(stretches.begin(), stretches.end());
  return stretches;
}

double TravelTime_s(std::span<const FlowStretch> stretches, double diameter_m) {
  double time_s = 0;
  for (const FlowStretch& stretch : stretches) {
    if (!(stretch.flow_m3_per_s > 0)) return kInfinite;
    time_s += kQuarterPi * diameter_m * diameter_m * stretch.length_m / stretch.flow_m3_per_s;
  }
  return time_s;
}

ShortestFeed EstimateFeed(const Network& network, const Adjacency& adjacency, const FeedOptions& options) {
  ShortestFeed feed;
  const size_t nodes = network.nodes.size();
  feed.parent.resize(nodes);
  feed.root.resize(nodes);
  feed.flow_m3_per_s.assign(nodes, 0);
  feed.services.assign(nodes, 0);
  feed.age_s.assign(nodes, kInfinite);
  feed.is_assumed.assign(nodes, 0);
  feed.links.resize(network.links.size());
  Ways ways(network, adjacency, options, feed);
  GrowAll(network, adjacency, options, ways, feed);
  SumDemands(network, feed);
  AddAges(network, options, feed);
  return feed;
}

}  // namespace lastreach
