#include "ends/maybe_gap.h"

#include <algorithm>
#include <cstdio>
#include <functional>
#include <queue>
#include <unordered_map>
#include <utility>
#include <vector>

#include "ends/reach_trace.h"

namespace lastreach {
namespace {

using Ways = std::unordered_map<uint32_t, double>;

// Length of the shortest way along pipes from `start` to every node within `limit_m`.
Ways WaysFrom(NodeIndex start, double limit_m, const Network& network, const Adjacency& adjacency) {
  using Entry = std::pair<double, uint32_t>;
  std::priority_queue<Entry, std::vector<Entry>, std::greater<>> queue;
  Ways ways;
  const auto reach = [&](NodeIndex node, double way_m) {
    const auto [at, is_new] = ways.emplace(static_cast<uint32_t>(node), way_m);
    if (!is_new && at->second <= way_m) return;
    at->second = way_m;
    queue.push({way_m, static_cast<uint32_t>(node)});
  };
  reach(start, 0);
  while (!queue.empty()) {
    const auto [way_m, node] = queue.top();
    queue.pop();
    if (way_m > ways[node]) continue;
    for (const Way& way : adjacency.From(NodeIndex(node))) {
      const double next_m = way_m + network[way.link].length_m.value;
      if (next_m <= limit_m) reach(way.to, next_m);
    }
  }
  return ways;
}

std::optional<double> WayTo(const NearMain& hit, const Ways& ways, const Network& network) {
  const Link& link = network[hit.link];
  std::optional<double> least;
  const auto take = [&](NodeIndex node, double more_m) {
    const auto found = ways.find(static_cast<uint32_t>(node));
    if (found == ways.end()) return;
    least = std::min(least.value_or(std::numeric_limits<double>::infinity()), found->second + more_m);
  };
  take(link.from, hit.along_m);
  take(link.to, link.length_m.value - hit.along_m);
  return least;
}

}  // namespace

MaybeGaps::MaybeGaps(const Network& network, const EndOptions& options)
    : network_(network), options_(options), adjacency_(network, ShutLinks::kKept), near_(network) {}

std::optional<MaybeGap> MaybeGaps::At(NodeIndex end) const {
  const Node& node = network_[end];
  if (!node.at) return {};
  const std::vector<NearMain> hits = near_.MainsWithin(near_.plane().To(*node.at), options_.gap_look_m);
  if (hits.size() < 2) return {};  // its own main is one
  const Ways ways = WaysFrom(end, options_.joined_within_gaps * options_.gap_look_m, network_, adjacency_);
  // Two points a hand apart may be one, drawn twice.
  constexpr double kSamePlace_m = 0.1;
  for (const NearMain& hit : hits) {
    const std::optional<double> round_m = WayTo(hit, ways, network_);
    const double gap_m = std::max(hit.distance_m, kSamePlace_m);
    if (round_m && *round_m <= options_.joined_within_gaps * gap_m) continue;
    return MaybeGap{hit.link, hit.distance_m, round_m};
  }
  return {};
}

double GapLook_m(const std::vector<Repair>& repairs) {
  constexpr double kTimes = 3;
  double look_m = EndOptions{}.gap_look_m;
  for (const Repair& repair : repairs) {
    const bool at_an_end = repair.kind == RepairKind::kEndToEnd || repair.kind == RepairKind::kEndToLine;
    if (repair.made && !repair.decision && at_an_end) look_m = std::max(look_m, kTimes * repair.gap_m);
  }
  return look_m;
}

std::string Describe(const MaybeGap& gap, const Network& network) {
  char metres[32];
  std::snprintf(metres, sizeof metres, "%.1f", gap.gap_m);
  return "ends " + std::string(metres) + " m from the " + WordsFor(network[gap.link]) +
         ", not joined there: perhaps only the drawing stops";
}

}  // namespace lastreach
