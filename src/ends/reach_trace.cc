#include "ends/reach_trace.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <limits>

namespace lastreach {
namespace {

constexpr double kQuarterPi = 0.785398163397448309616;

double LengthOf_m(const ReachPiece& piece) { return std::abs(piece.to_m - piece.from_m); }

bool Feeds(const LinkFeed& feed, int side) {
  return feed.fed_by == FedBy::kBoth || feed.fed_by == (side == 0 ? FedBy::kFrom : FedBy::kTo);
}

// What arrives at a place along the stretches; of a place between two, the one before it.
double FlowAt(const std::vector<FlowStretch>& stretches, double at_m) {
  constexpr double kRounding_m = 1e-9;
  double end_m = 0;
  for (const FlowStretch& stretch : stretches) {
    end_m += stretch.length_m;
    if (at_m <= end_m + kRounding_m) return stretch.flow_m3_per_s;
  }
  return stretches.empty() ? std::numeric_limits<double>::infinity() : stretches.back().flow_m3_per_s;
}

}  // namespace

// What hangs on a node beside the way through it.
struct ReachTracer::Branches {
  double flow_m3_per_s = 0;  // drawn at the node itself too
  int services = 0;
};

ReachTracer::ReachTracer(const Network& network, const Adjacency& adjacency, const ShortestFeed& feed,
                         const EndOptions& options)
    : network_(network),
      adjacency_(adjacency),
      feed_(feed),
      options_(options),
      first_connection_(FirstConnections(network)),
      on_loop_(network.nodes.size(), 0) {
  const std::vector<char> loops = LinksOnLoops(adjacency);
  for (size_t i = 0; i < network.links.size(); ++i) {
    if (loops[i] == 0) continue;
    on_loop_[At(network.links[i].from)] = 1;
    on_loop_[At(network.links[i].to)] = 1;
  }
  counts_services_ = std::any_of(network.connections.begin(), network.connections.end(),
                                 [](const Connection& c) { return c.count > 0; });
  knows_customers_ =
      std::any_of(network.connections.begin(), network.connections.end(),
                  [this](const Connection& c) { return IsCustomer(c); }) ||
      (!counts_services_ && std::any_of(network.nodes.begin(), network.nodes.end(),
                                        [](const Node& node) { return node.demand_m3_per_s > 0; }));
}

bool ReachTracer::IsCustomer(const Connection& connection) const {
  return counts_services_ ? connection.count > 0 : connection.demand_m3_per_s.value > 0;
}

ReachTracer::Branches ReachTracer::SideBranchesAt(NodeIndex node, LinkIndex but) const {
  Branches side;
  side.flow_m3_per_s = network_[node].demand_m3_per_s;
  LinkIndex before = but;
  for (const Way& way : adjacency_.From(node)) {
    if (way.link == but || way.link == feed_.parent[At(node)]) continue;
    const LinkFeed& feed = feed_.links[At(way.link)];
    const bool second_end = way.to == node && way.link == before;  // of a link from the node to itself
    before = way.link;
    const int from = (network_[way.link].from == node) != second_end ? 0 : 1;
    if (!Feeds(feed, from)) continue;
    side.flow_m3_per_s += feed.drawn_m3_per_s[from] + feed.carried_on_m3_per_s;
    side.services += feed.services[from];
    if (feed.fed_by != FedBy::kBoth && feed_.parent[At(way.to)] == way.link) {
      side.services += feed_.services[At(way.to)];
    }
  }
  return side;
}

ReachPiece ReachTracer::PieceOf(LinkIndex link, int side) const {
  const LinkFeed& feed = feed_.links[At(link)];
  const double length_m = network_[link].length_m.value;
  ReachPiece piece;
  piece.link = link;
  piece.from_m = side == 0 ? 0 : length_m;
  piece.to_m = side == 0 ? length_m : 0;
  if (feed.fed_by == lastreach::FedBy::kBoth) piece.to_m = feed.cut_m;
  piece.services = feed.services[side];
  piece.demand_m3_per_s = feed.drawn_m3_per_s[side];
  return piece;
}

bool ReachTracer::IsFast(LinkIndex link) const {
  const double width_m = WidthOf_m(network_[link], options_.feed);
  const double m_per_s = feed_.links[At(link)].carried_on_m3_per_s / (kQuarterPi * width_m * width_m);
  return m_per_s * kSecondsPerDay >= options_.fast_m_per_day;
}

bool ReachTracer::IsWellFed(NodeIndex node, double branch_m3_per_s) const {
  // Of two equal branches each takes half, in whatever order their customers were added up.
  constexpr double kRounding = 1 + 1e-9;
  const auto& before = feed_.parent[At(node)];
  return before && IsFast(*before) &&
         branch_m3_per_s <= options_.branch_share * kRounding * feed_.links[At(*before)].carried_on_m3_per_s;
}

// Pieces are gathered from the end upwards and then turned round.
void ReachTracer::Climb(NodeIndex from, bool to_cut, Arm& arm) const {
  NodeIndex node = from;
  bool is_first = !to_cut;
  while (true) {
    const auto& before = feed_.parent[At(node)];
    if (!before) break;
    if (!is_first) {
      const LinkFeed& branch = feed_.links[At(arm.pieces.back().link)];
      const double branch_m3_per_s = branch.drawn_m3_per_s[arm.sides.back()] + branch.carried_on_m3_per_s;
      if (to_cut ? IsFast(*before) : on_loop_[At(node)] != 0 || IsWellFed(node, branch_m3_per_s)) break;
    }
    arm.sides.push_back(network_[*before].to == node ? 0 : 1);
    ReachPiece piece = PieceOf(*before, arm.sides.back());
    const Branches side = SideBranchesAt(node, arm.pieces.empty() ? *before : arm.pieces.back().link);
    piece.demand_m3_per_s += side.flow_m3_per_s;
    arm.services_beyond += side.services;
    arm.pieces.push_back(piece);
    node = OtherEnd(network_[*before], node);
    is_first = false;
  }
  arm.tee = node;
  std::reverse(arm.pieces.begin(), arm.pieces.end());
  std::reverse(arm.sides.begin(), arm.sides.end());
}

// Whether a main that carries this leads to a customer.
bool ReachTracer::IsEnough(double flow_m3_per_s) const {
  return counts_services_ || flow_m3_per_s * kSecondsPerDay >= options_.least_use_m3_per_day;
}

// How far along the piece, from where it begins, its customers are; in the direction of the water.
std::vector<double> ReachTracer::CustomersOn(const ReachPiece& piece, int side,
                                             const std::vector<FlowStretch>& stretches) const {
  std::vector<double> places_m;
  const LinkFeed& feed = feed_.links[At(piece.link)];
  for (size_t i = first_connection_[At(piece.link)]; i < first_connection_[At(piece.link) + 1]; ++i) {
    const Connection& connection = network_.connections[i];
    if (!IsCustomer(connection)) continue;
    if (feed.fed_by == lastreach::FedBy::kBoth && (connection.along_m <= feed.cut_m) != (side == 0)) continue;
    const double at_m = side == 0 ? connection.along_m - piece.from_m : piece.from_m - connection.along_m;
    if (IsEnough(FlowAt(stretches, at_m))) places_m.push_back(std::clamp(at_m, 0.0, LengthOf_m(piece)));
  }
  if (side == 1) std::reverse(places_m.begin(), places_m.end());
  return places_m;
}

void ReachTracer::Measure(Arm& arm) const {
  NodeIndex node = arm.tee;
  double time_s = 0;
  double length_before_m = 0;  // up to the last customer
  double volume_before_m3 = 0;
  std::optional<double> time_to_last_s;
  for (size_t i = 0; i < arm.pieces.size(); ++i) {
    const ReachPiece& piece = arm.pieces[i];
    const Link& link = network_[piece.link];
    const double width_m = link.kind == LinkKind::kPump ? 0 : WidthOf_m(link, options_.feed);
    const double area_m2 = kQuarterPi * width_m * width_m;
    const int side = arm.sides[i];
    const std::vector<FlowStretch> stretches =
        StretchesOf(network_, first_connection_, feed_.links[At(piece.link)], piece.link, side);
    const auto take_last = [&](double at_m) {
      std::vector<FlowStretch> until;
      double left_m = at_m;
      for (const FlowStretch& stretch : stretches) {
        if (left_m <= 0) break;
        until.push_back({std::min(left_m, stretch.length_m), stretch.flow_m3_per_s});
        left_m -= stretch.length_m;
      }
      const double arrives_s = time_s + TravelTime_s(until, width_m);
      arm.last_draws_nothing = !std::isfinite(arrives_s);
      if (!arm.last_draws_nothing) time_to_last_s = arrives_s;
      length_before_m = arm.length_m + at_m;
      volume_before_m3 = arm.volume_m3 + area_m2 * at_m;
    };
    for (const double at_m : CustomersOn(piece, side, stretches)) take_last(at_m);
    node = OtherEnd(link, node);
    // The way on through the far node is no side branch of it; the last piece has none.
    if (feed_.links[At(piece.link)].fed_by != lastreach::FedBy::kBoth) {
      const bool is_last = i + 1 == arm.pieces.size();
      const Branches beside = SideBranchesAt(node, is_last ? piece.link : arm.pieces[i + 1].link);
      if (counts_services_
              ? beside.services > 0
              : beside.flow_m3_per_s > 0 && IsEnough(feed_.links[At(piece.link)].carried_on_m3_per_s)) {
        take_last(LengthOf_m(piece));
      }
    }
    time_s += TravelTime_s(stretches, width_m);
    arm.length_m += LengthOf_m(piece);
    arm.volume_m3 += area_m2 * LengthOf_m(piece);
    arm.services += piece.services;
    arm.demand_m3_per_s += piece.demand_m3_per_s;
  }
  arm.tail_m = std::max(0.0, arm.length_m - length_before_m);
  arm.tail_m3 = std::max(0.0, arm.volume_m3 - volume_before_m3);
  if (!time_to_last_s) return;
  arm.days_to_last_customer = *time_to_last_s / kSecondsPerDay;
  const double age_s = feed_.age_s[At(arm.tee)];
  if (feed_.is_assumed[At(arm.tee)] == 0 && std::isfinite(age_s)) {
    arm.days_from_source = (age_s + *time_to_last_s) / kSecondsPerDay;
  }
}

Arm ReachTracer::ToEnd(NodeIndex end) const {
  Arm arm;
  Climb(end, false, arm);
  Measure(arm);
  return arm;
}

Arm ReachTracer::ToCut(LinkIndex link, int side) const {
  Arm arm;
  arm.pieces.push_back(PieceOf(link, side));
  arm.sides.push_back(side);
  Climb(side == 0 ? network_[link].from : network_[link].to, true, arm);
  Measure(arm);
  return arm;
}

std::string WordsFor(const Link& link) {
  std::string words = "main";
  if (link.inner_diameter_m) {
    const double inches = link.inner_diameter_m->value / kMetresPerInch;
    const bool whole = std::abs(inches - std::round(inches)) < 0.15;
    char text[64];
    std::snprintf(text, sizeof text, whole ? "%.0f mm (%.0f in) main" : "%.0f mm (%.1f in) main",
                  1000 * link.inner_diameter_m->value, inches);
    words = text;
  }
  return link.street.empty() ? words : words + " in " + link.street;
}

std::optional<LinkIndex> ReachTracer::FedThrough(const Arm& arm) const {
  std::optional<LinkIndex> before = feed_.parent[At(arm.tee)];
  const auto& root = feed_.root[At(arm.tee)];
  if (before || (root && IsFeeder(network_[*root]))) return before;
  for (const Way& way : adjacency_.From(arm.tee)) {  // the widest main at the assumed inlet
    if (!arm.pieces.empty() && way.link == arm.pieces.front().link) continue;
    if (!before ||
        WidthOf_m(network_[way.link], options_.feed) > WidthOf_m(network_[*before], options_.feed)) {
      before = way.link;
    }
  }
  return before;
}

std::string ReachTracer::FedBy(const Arm& arm) const {
  std::string from;
  const auto& root = feed_.root[At(arm.tee)];
  if (root && IsFeeder(network_[*root])) {
    from = std::string(ToText(network_[*root].kind)) + " " + network_[*root].id;
  }
  const std::optional<LinkIndex> through = FedThrough(arm);
  if (!through) return from;
  return WordsFor(network_[*through]) + (from.empty() ? "" : ", from " + from);
}

}  // namespace lastreach
