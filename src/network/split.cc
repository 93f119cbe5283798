#include "network/split.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace lastreach {
namespace {

constexpr double kSamePlace_m = 1e-3;

// Lengths along a drawn line from its start, in one unit all along: only their ratios are used.
std::vector<double> Measured(const std::vector<Position>& line) {
  std::vector<double> along{0};
  if (line.empty()) return along;
  const double shrink = std::cos(line.front().latitude_deg * std::acos(-1.0) / 180);
  for (size_t i = 1; i < line.size(); ++i) {
    along.push_back(along.back() + std::hypot((line[i].longitude_deg - line[i - 1].longitude_deg) * shrink,
                                              line[i].latitude_deg - line[i - 1].latitude_deg));
  }
  return along;
}

Position Between(Position a, Position b, double share) {
  return {a.longitude_deg + share * (b.longitude_deg - a.longitude_deg),
          a.latitude_deg + share * (b.latitude_deg - a.latitude_deg)};
}

// The part of a line between two shares of its length.
std::vector<Position> Part(const std::vector<Position>& line, double from, double to) {
  if (line.size() < 2) return line;
  const std::vector<double> along = Measured(line);
  const auto at = [&](double share) {
    const double wanted = share * along.back();
    size_t i = 1;
    while (i + 1 < along.size() && along[i] < wanted) ++i;
    const double step = along[i] - along[i - 1];
    return Between(line[i - 1], line[i], step > 0 ? std::clamp((wanted - along[i - 1]) / step, 0.0, 1.0) : 0);
  };
  std::vector<Position> part{from == 0 ? line.front() : at(from)};
  for (size_t i = 1; i + 1 < line.size(); ++i) {
    if (along[i] > from * along.back() && along[i] < to * along.back() && line[i] != part.back()) {
      part.push_back(line[i]);
    }
  }
  part.push_back(to == 1 ? line.back() : at(to));
  return part;
}

Node NodeBetween(const Network& network, const Link& link, double share) {
  const Node& from = network[link.from];
  const Node& to = network[link.to];
  Node node;
  node.zone = link.zone;
  if (link.line.size() >= 2) node.at = Part(link.line, 0, share).back();
  if (from.xy_m && to.xy_m && link.line.empty()) {
    node.xy_m = {std::lerp(from.xy_m->first, to.xy_m->first, share),
                 std::lerp(from.xy_m->second, to.xy_m->second, share)};
  }
  if (from.elevation_m && to.elevation_m) {
    node.elevation_m = {std::lerp(from.elevation_m->value, to.elevation_m->value, share),
                        {OriginKind::kEstimated, "between the ends of the main", {}, ""}};
  }
  return node;
}

// One link and where it is cut, in order, ends left out.
struct Cuts {
  std::vector<double> along_m;
  std::vector<NodeIndex> nodes;   // at each cut
  std::vector<LinkIndex> pieces;  // one more than cuts
};

class Splitter {
 public:
  explicit Splitter(Network& network) : network_(network), names_(network) {}

  std::vector<NodeIndex> Split(const std::vector<LinkPlace>& places) {
    cuts_.resize(network_.links.size());
    std::vector<size_t> order(places.size());
    std::iota(order.begin(), order.end(), size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](size_t a, size_t b) {
      return std::pair(places[a].link, places[a].along_m) < std::pair(places[b].link, places[b].along_m);
    });
    std::vector<NodeIndex> nodes(places.size());
    for (const size_t i : order) nodes[i] = NodeAt(places[i]);
    const size_t links = network_.links.size();
    for (size_t i = 0; i < links; ++i) {
      if (!cuts_[i].along_m.empty()) MakePieces(static_cast<LinkIndex>(i));
    }
    return nodes;
  }

  void Move(LinkPlace& place) const {
    if (At(place.link) >= cuts_.size()) return;
    const Cuts& cuts = cuts_[At(place.link)];
    if (cuts.along_m.empty()) return;
    const auto behind = std::lower_bound(cuts.along_m.begin(), cuts.along_m.end(), place.along_m);
    const auto piece = static_cast<size_t>(behind - cuts.along_m.begin());
    place.link = cuts.pieces[piece];
    if (piece > 0) place.along_m -= cuts.along_m[piece - 1];
    place.along_m = std::clamp(place.along_m, 0.0, network_[place.link].length_m.value);
  }

 private:
  // The node of a place; places of one link come in order along it.
  NodeIndex NodeAt(const LinkPlace& place) {
    const Link& link = network_[place.link];
    const double length_m = link.length_m.value;
    if (place.along_m <= kSamePlace_m) return link.from;
    if (place.along_m >= length_m - kSamePlace_m) return link.to;
    Cuts& cuts = cuts_[At(place.link)];
    if (!cuts.along_m.empty() && place.along_m - cuts.along_m.back() <= kSamePlace_m)
      return cuts.nodes.back();
    Node node = NodeBetween(network_, link, place.along_m / length_m);
    node.id = names_.Take(link.id + "." + std::to_string(cuts.along_m.size() + 2));
    cuts.along_m.push_back(place.along_m);
    cuts.nodes.push_back(static_cast<NodeIndex>(network_.nodes.size()));
    network_.nodes.push_back(std::move(node));
    return cuts.nodes.back();
  }

  void MakePieces(LinkIndex index) {
    Cuts& cuts = cuts_[At(index)];
    const Link whole = network_[index];
    const double length_m = whole.length_m.value;
    for (size_t i = 0; i <= cuts.along_m.size(); ++i) {
      const bool last = i == cuts.along_m.size();
      const double begin_m = i == 0 ? 0 : cuts.along_m[i - 1];
      const double end_m = last ? length_m : cuts.along_m[i];
      Link piece = whole;
      piece.length_m.value = end_m - begin_m;
      piece.line =
          whole.line.empty() ? whole.line : Part(whole.line, begin_m / length_m, last ? 1 : end_m / length_m);
      piece.main_from_m = std::lerp(whole.main_from_m, whole.main_to_m, begin_m / length_m);
      piece.main_to_m =
          last ? whole.main_to_m : std::lerp(whole.main_from_m, whole.main_to_m, end_m / length_m);
      if (!last) piece.to = cuts.nodes[i];
      if (i == 0) {
        cuts.pieces.push_back(index);
        network_[index] = std::move(piece);
        continue;
      }
      piece.id = network_[cuts.nodes[i - 1]].id;
      piece.from = cuts.nodes[i - 1];
      piece.minor_loss = 0;
      piece.kind = LinkKind::kPipe;
      cuts.pieces.push_back(static_cast<LinkIndex>(network_.links.size()));
      network_.links.push_back(std::move(piece));
    }
  }

  Network& network_;
  FreshNames names_;
  std::vector<Cuts> cuts_;  // of each link there was
};

}  // namespace

std::vector<NodeIndex> SplitLinks(Network& network, const std::vector<LinkPlace>& places,
                                  std::vector<LinkPlace>* kept) {
  Splitter splitter(network);
  std::vector<NodeIndex> nodes = splitter.Split(places);
  if (kept != nullptr) {
    for (LinkPlace& place : *kept) splitter.Move(place);
  }
  for (Connection& connection : network.connections) {
    LinkPlace place{connection.link, connection.along_m};
    splitter.Move(place);
    connection.link = place.link;
    connection.along_m = place.along_m;
  }
  std::stable_sort(network.connections.begin(), network.connections.end(),
                   [](const Connection& a, const Connection& b) {
                     return std::pair(a.link, a.along_m) < std::pair(b.link, b.along_m);
                   });
  return nodes;
}

LinkIndex InsertAt(Network& network, NodeIndex node, LinkIndex beside, LinkKind kind, const std::string& id) {
  const auto added = static_cast<NodeIndex>(network.nodes.size());
  Node twin;
  twin.id = id;
  twin.at = network[node].at;
  twin.xy_m = network[node].xy_m;
  twin.elevation_m = network[node].elevation_m;
  twin.zone = network[beside].zone;
  network.nodes.push_back(std::move(twin));
  Link& moved = network[beside];
  Link link;
  link.id = id;
  link.kind = kind;
  link.zone = moved.zone;
  link.street = moved.street;
  if (moved.from == node) {
    moved.from = added;
    link.from = node;
    link.to = added;
  } else {
    moved.to = added;
    link.from = added;
    link.to = node;
  }
  network.links.push_back(std::move(link));
  return static_cast<LinkIndex>(network.links.size() - 1);
}

FreshNames::FreshNames(const Network& network) {
  for (const Node& node : network.nodes) taken_.insert(node.id);
  for (const Link& link : network.links) taken_.insert(link.id);
}

std::string FreshNames::Take(const std::string& wanted) {
  std::string name = wanted;
  for (int i = 2; !taken_.insert(name).second; ++i) name = wanted + "-" + std::to_string(i);
  return name;
}

}  // namespace lastreach
