#include "ends/quiet_places.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <limits>
#include <tuple>

#include "ends/describe_place.h"
#include "ends/maybe_gap.h"
#include "ends/null_points.h"
#include "ends/reach_trace.h"
#include "network/hydrant_leads.h"

namespace lastreach {
namespace {

constexpr double kRounding_m = 1e-6;

class EndFinder {
 public:
  EndFinder(const Network& network, const EndOptions& options)
      : network_(network),
        options_(options),
        adjacency_(network),
        feed_(EstimateFeed(network, adjacency_, options.feed)),
        tracer_(network, adjacency_, feed_, options),
        leads_(FindHydrantLeads(network, adjacency_, options.hydrant_lead_m)),
        gaps_(network, options),
        is_at_shut_(network.nodes.size(), 0) {
    for (const Link& link : network.links) {
      if (!IsShut(link)) continue;
      is_at_shut_[At(link.from)] = 1;
      is_at_shut_[At(link.to)] = 1;
    }
  }

  std::vector<QuietPlace> Find(int& meetings) const {
    std::vector<QuietPlace> places;
    for (size_t i = 0; i < network_.nodes.size(); ++i) {
      if (IsFeeder(network_.nodes[i])) continue;
      if (leads_.is_hydrant[i] != 0) {
        places.push_back(PlaceAt(NodeIndex(i)));
        places.back().kind = QuietKind::kHydrantLead;
        places.back().outlet = "hydrant";
      } else if (leads_.ways_of_main[i] == 1) {
        places.push_back(End(NodeIndex(i)));
      }
    }
    for (size_t i = 0; i < network_.links.size(); ++i) {
      if (!WatersMeetOn(LinkIndex(i), network_, feed_)) continue;
      ++meetings;
      if (auto place = QuietMeetingPoint(LinkIndex(i), tracer_)) places.push_back(std::move(*place));
    }
    return places;
  }

 private:
  QuietPlace PlaceAt(NodeIndex node) const {
    QuietPlace place;
    place.node = node;
    place.at = network_[node].at.value_or(Position{});
    TakeArm(tracer_.ToEnd(node), tracer_, place);
    place.zone = network_[node].zone;
    if (place.reach.empty()) return place;
    const Link& last = network_[place.reach.back().link];
    place.street = last.street;
    if (place.zone.empty()) place.zone = last.zone;
    return place;
  }

  QuietPlace End(NodeIndex node) const {
    QuietPlace place = PlaceAt(node);
    place.outlet = OutletAt(place);
    if (is_at_shut_[At(node)] != 0) {
      place.kind = QuietKind::kShutValve;
      return place;
    }
    if (tracer_.knows_customers() && place.tail_m >= SinceLastFork_m(place) - kRounding_m) {
      place.kind = QuietKind::kStub;
    }
    if (!place.outlet.empty()) return place;
    if (const auto gap = gaps_.At(node)) {
      place.kind = QuietKind::kMaybeGap;
      place.notes.push_back(Describe(*gap, network_));
    }
    return place;
  }

  // Length of the reach past the last node where more than two mains meet.
  double SinceLastFork_m(const QuietPlace& place) const {
    double length_m = 0;
    NodeIndex node = *place.node;
    for (size_t i = place.reach.size(); i-- > 0;) {
      length_m += std::abs(place.reach[i].to_m - place.reach[i].from_m);
      node = OtherEnd(network_[place.reach[i].link], node);
      if (leads_.ways_of_main[At(node)] > 2) break;
    }
    return length_m;
  }

  // What the end can be flushed by: on it, or as near to it as a hydrant's own pipe is short.
  std::string OutletAt(const QuietPlace& place) const {
    double back_m = 0;
    NodeIndex node = *place.node;
    for (size_t i = place.reach.size() + 1; i-- > 0;) {
      if (network_[node].has_blow_off) return "blow-off";
      if (network_[node].has_hydrant || leads_.has_lead[At(node)] != 0) return "hydrant";
      if (i == 0) break;
      back_m += std::abs(place.reach[i - 1].to_m - place.reach[i - 1].from_m);
      if (back_m > options_.hydrant_lead_m) break;
      node = OtherEnd(network_[place.reach[i - 1].link], node);
    }
    return "";
  }

  const Network& network_;
  const EndOptions& options_;
  Adjacency adjacency_;
  ShortestFeed feed_;
  ReachTracer tracer_;
  HydrantLeads leads_;
  MaybeGaps gaps_;
  std::vector<char> is_at_shut_;  // size nodes: a shut link ends here
};

// Smaller comes first.
auto RankOf(const QuietPlace& place) {
  const bool has_customers = place.services + place.services_beyond > 0 || place.days_to_last_customer;
  const int group = place.kind == QuietKind::kHydrantLead ? 2 : has_customers ? 0 : 1;
  const double days = place.days_to_last_customer.value_or(std::numeric_limits<double>::infinity());
  const double standing_m3 = group == 0 ? place.volume_m3 : place.tail_m3;
  return std::make_tuple(group, group == 0 ? -days : 0.0, -standing_m3, place.at.longitude_deg,
                         place.at.latitude_deg);
}

}  // namespace

std::vector<QuietPlace> FindQuietPlaces(const Network& network, const EndOptions& options, int* meetings) {
  int looked_at = 0;
  std::vector<QuietPlace> places = EndFinder(network, options).Find(looked_at);
  if (meetings != nullptr) *meetings = looked_at;
  std::stable_sort(places.begin(), places.end(),
                   [](const QuietPlace& a, const QuietPlace& b) { return RankOf(a) < RankOf(b); });
  for (size_t i = 0; i < places.size(); ++i) {
    char id[32];
    std::snprintf(id, sizeof id, "E%04zu", i + 1);
    places[i].id = id;
  }
  return places;
}

size_t FirstArm(const QuietPlace& place) {
  if (place.kind != QuietKind::kNullPoint) return place.reach.size();
  const ReachPiece& last = place.reach.back();
  const auto meets = std::find_if(place.reach.begin(), place.reach.end(), [&](const ReachPiece& piece) {
    return piece.link == last.link && piece.to_m == last.to_m;
  });
  return static_cast<size_t>(meets - place.reach.begin()) + 1;
}

}  // namespace lastreach
