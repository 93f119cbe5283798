#include "map/place_things.h"

#include <algorithm>
#include <limits>

#include "map/map_index.h"

namespace lastreach {
namespace {

constexpr double kNotMuchFarther = 2.5;
constexpr double kNotMuchFarther_m = 5;
// A valve is on a branch of a tee if it is drawn this much nearer to it than to the tee and the other
// branches.
constexpr double kClearlyOn_m = 0.1;

// Where a thing shall stand: at a node there is, or on a link, cut there or not.
struct Spot {
  std::optional<NodeIndex> node;
  std::optional<LinkPlace> place;
  bool cut = false;
  double distance_m = 0;
};

class Placer {
 public:
  Placer(Network& network, const Drawing& drawing, const PlaceOptions& options)
      : network_(network),
        things_(drawing.things),
        options_(options),
        index_(network, IsMain),
        plane_(index_.plane()) {
    Join();
  }

  PlaceSummary Place() {
    const size_t nodes_before = network_.nodes.size();
    std::vector<std::optional<Spot>> spots;
    for (size_t i = 0; i < things_.size(); ++i) spots.push_back(SpotOf(i));
    Cut(spots);
    Join();
    FreshNames names(network_);
    for (size_t i = 0; i < things_.size(); ++i) {
      if (!spots[i]) continue;
      summary_.placed.push_back({i, spots[i]->node, spots[i]->place, spots[i]->distance_m});
      ++summary_.placed_by_kind[static_cast<size_t>(things_[i].kind)];
      if (spots[i]->node) Stand(i, *spots[i]->node, names);
    }
    summary_.nodes_added = static_cast<int>(network_.nodes.size() - nodes_before);
    return std::move(summary_);
  }

 private:
  void Join() {
    links_at_.assign(network_.nodes.size(), {});
    for (size_t i = 0; i < network_.links.size(); ++i) {
      links_at_[At(network_.links[i].from)].push_back(static_cast<LinkIndex>(i));
      links_at_[At(network_.links[i].to)].push_back(static_cast<LinkIndex>(i));
    }
  }
  bool IsEnd(NodeIndex node) const { return links_at_[At(node)].size() == 1; }

  double Reach_m(ThingKind kind) const {
    const bool on_the_main = kind == ThingKind::kValve || kind == ThingKind::kFitting;
    return on_the_main ? options_.valve_reach_m : options_.thing_reach_m;
  }

  std::optional<Spot> SpotOf(size_t i) {
    const DrawnThing& thing = things_[i];
    const PlanePoint at = plane_.To(thing.at);
    // A node without a main has nothing to hold, shut or feed.
    for (const NearNode& near : index_.NodesWithin(at, options_.node_reach_m)) {
      if (!links_at_[At(near.node)].empty()) return Spot{near.node, {}, false, near.distance_m};
    }
    const std::vector<NearMain> mains = index_.MainsWithin(at, Reach_m(thing.kind));
    if (mains.empty()) {
      const auto nearest = index_.NearestMain(at);
      summary_.too_far.push_back({i, nearest ? std::optional(nearest->distance_m) : std::nullopt,
                                  "no main is within reach of this " + std::string(ToText(thing.kind))});
      return {};
    }
    const NearMain& main = mains.front();
    if (thing.kind == ThingKind::kTank || thing.kind == ThingKind::kSource) return FeedingSpot(at, main);
    const double end_reach_m = thing.kind == ThingKind::kHydrant || thing.kind == ThingKind::kBlowOff
                                   ? options_.end_reach_m
                                   : options_.node_reach_m;
    if (const auto end = EndNear(main, end_reach_m)) return Spot{end, {}, false, main.distance_m};
    const bool on_main = main.distance_m <= options_.valve_reach_m;
    const bool cut = thing.kind == ThingKind::kBlowOff || (thing.kind == ThingKind::kPump && on_main) ||
                     (thing.kind == ThingKind::kValve && thing.closed);
    return Spot{{}, LinkPlace{main.link, main.along_m}, cut, main.distance_m};
  }

  // The end of a link close to a place on it: any within node_reach_m, a dead one within `reach_m`.
  std::optional<NodeIndex> EndNear(const NearMain& main, double reach_m) const {
    const Link& link = network_[main.link];
    const double before_m = main.along_m;
    const double behind_m = link.length_m.value - main.along_m;
    const NodeIndex nearer = before_m <= behind_m ? link.from : link.to;
    const NodeIndex other = before_m <= behind_m ? link.to : link.from;
    if (std::min(before_m, behind_m) <= options_.node_reach_m) return nearer;
    if (std::min(before_m, behind_m) <= reach_m && IsEnd(nearer)) return nearer;
    if (std::max(before_m, behind_m) <= reach_m && IsEnd(other)) return other;
    return {};
  }

  Spot FeedingSpot(PlanePoint at, const NearMain& main) const {
    const double far_m =
        std::min(options_.thing_reach_m, kNotMuchFarther * main.distance_m + kNotMuchFarther_m);
    std::optional<NearNode> best;
    for (const NearNode& near : index_.NodesWithin(at, far_m)) {
      if (links_at_[At(near.node)].empty()) continue;
      if (!best || (IsEnd(near.node) && !IsEnd(best->node))) best = near;
    }
    if (best) return {best->node, {}, false, best->distance_m};
    return {{}, LinkPlace{main.link, main.along_m}, true, main.distance_m};
  }

  void Cut(std::vector<std::optional<Spot>>& spots) {
    std::vector<LinkPlace> cuts, kept;
    for (const auto& spot : spots) {
      if (spot && spot->place) (spot->cut ? cuts : kept).push_back(*spot->place);
    }
    const std::vector<NodeIndex> nodes = SplitLinks(network_, cuts, &kept);
    auto next_node = nodes.begin();
    auto next_kept = kept.begin();
    for (auto& spot : spots) {
      if (!spot || !spot->place) continue;
      if (spot->cut) {
        spot->node = *next_node++;
        spot->place = {};
      } else {
        spot->place = *next_kept++;
      }
    }
  }

  void Stand(size_t i, NodeIndex at, FreshNames& names) {
    const DrawnThing& thing = things_[i];
    Node& node = network_[at];
    node.things.push_back(thing.key);
    switch (thing.kind) {
      case ThingKind::kHydrant:
        node.has_hydrant = true;
        break;
      case ThingKind::kBlowOff:
        node.has_blow_off = true;
        break;
      case ThingKind::kTank:
      case ThingKind::kSource:
        Feed(i, node);
        break;
      case ThingKind::kPump:
        PutIn(i, at, LinkKind::kPump, names);
        break;
      case ThingKind::kValve:
        if (thing.closed) PutIn(i, at, LinkKind::kClosed, names);
        break;
      case ThingKind::kFitting:
        break;
    }
  }

  void Feed(size_t i, Node& node) {
    const DrawnThing& thing = things_[i];
    if (node.kind != NodeKind::kJunction) {
      Doubt(i, "another " + std::string(ToText(node.kind)) + " stands at the same place");
      return;
    }
    node.kind = thing.kind == ThingKind::kTank ? NodeKind::kTank : NodeKind::kSource;
    node.head_m = thing.head_m;
    if (!thing.head_m) Doubt(i, "its water level is not known");
  }

  // Puts a link of no length into the network at a node.
  void PutIn(size_t i, NodeIndex at, LinkKind kind, FreshNames& names) {
    const std::vector<LinkIndex>& links = links_at_[At(at)];
    const bool there = std::any_of(links.begin(), links.end(), [&](LinkIndex link) {
      return network_[link].kind == kind && network_[link].length_m.value == 0;
    });
    if (there && links.size() <= 2) return;  // the same valve drawn twice
    if (links.size() <= 1) {
      // A shut valve at the very end keeps water from nothing that is drawn.
      if (kind == LinkKind::kPump)
        Doubt(i, "the main ends at this pump, so nothing is drawn that it pumps to");
      return;
    }
    const std::optional<LinkIndex> beside = links.size() == 2 ? links.front() : BranchOf(i, at);
    if (!beside) {
      Doubt(i, kind == LinkKind::kPump
                   ? "it stands at a tee, so the branch it pumps into is not clear"
                   : "it stands at a tee, so the branch it shuts is not clear; none was shut");
      return;
    }
    const std::string name = names.Take(things_[i].name.empty() ? things_[i].key.key : things_[i].name);
    const LinkIndex added = InsertAt(network_, at, *beside, kind, name);
    links_at_.push_back({*beside, added});
    std::replace(links_at_[At(at)].begin(), links_at_[At(at)].end(), *beside, added);
    ++(kind == LinkKind::kPump ? summary_.pumps_added : summary_.valves_shut);
    if (kind == LinkKind::kPump)
      Doubt(i, "its curve is not known, and it is taken to pump the way the main is drawn");
  }

  std::optional<LinkIndex> BranchOf(size_t i, NodeIndex at) const {
    const PlanePoint point = plane_.To(things_[i].at);
    double to_node_m = std::numeric_limits<double>::infinity();
    if (network_[at].at) to_node_m = Distance_m(point, plane_.To(*network_[at].at));
    double best_m = to_node_m;
    double second_m = to_node_m;
    std::optional<LinkIndex> best;
    for (const LinkIndex link : links_at_[At(at)]) {
      const double distance_m = DistanceToLine_m(point, network_[link].line, plane_);
      if (distance_m < best_m) {
        second_m = best_m;
        best_m = distance_m;
        best = link;
      } else {
        second_m = std::min(second_m, distance_m);
      }
    }
    if (!best || best_m > second_m - kClearlyOn_m) return {};
    return best;
  }

  void Doubt(size_t i, std::string reason) { summary_.doubtful.push_back({i, {}, std::move(reason)}); }

  Network& network_;
  const std::vector<DrawnThing>& things_;
  const PlaceOptions& options_;
  MapIndex index_;
  const Plane& plane_;
  std::vector<std::vector<LinkIndex>> links_at_;
  PlaceSummary summary_;
};

}  // namespace

PlaceSummary PlaceThings(Network& network, const Drawing& drawing, const PlaceOptions& options) {
  return Placer(network, drawing, options).Place();
}

}  // namespace lastreach
