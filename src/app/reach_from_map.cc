#include "app/reach_from_map.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "ends/quiet_places.h"
#include "map/plane.h"

namespace lastreach {
namespace {

constexpr const char* kByMap = "the map";

double LengthOf_m(const ReachPiece& piece) { return std::abs(piece.to_m - piece.from_m); }

Origin Worse(const Origin& a, const Origin& b) { return a.kind < b.kind ? b : a; }

// Connections on a piece that count: where the network knows services only those, else whatever draws.
class Customers {
 public:
  explicit Customers(const Network& network) : network_(network) {
    counts_services_ = std::any_of(network.connections.begin(), network.connections.end(),
                                   [](const Connection& c) { return c.count > 0; });
  }

  // How far along the piece the last one is; none without one.
  std::optional<double> LastOn(const ReachPiece& piece) const {
    std::optional<double> last_m;
    ForEach(piece, [&](const Connection& c) {
      if (counts_services_ ? c.count > 0 : c.demand_m3_per_s.value > 0) {
        last_m = std::max(last_m.value_or(0), std::abs(c.along_m - piece.from_m));
      }
    });
    return last_m;
  }

  Origin DemandOrigin(const ReachPiece& piece) const {
    Origin worst{OriginKind::kEstimated, kByMap, {}, ""};
    ForEach(piece, [&](const Connection& c) { worst = Worse(worst, c.demand_m3_per_s.origin); });
    return worst;
  }

  bool counts_services() const { return counts_services_; }

 private:
  template <typename Do>
  void ForEach(const ReachPiece& piece, Do&& act) const {
    const auto of_link = std::equal_range(
        network_.connections.begin(), network_.connections.end(), Connection{piece.link, 0, 1, {}, {}},
        [](const Connection& a, const Connection& b) { return a.link < b.link; });
    const auto [low_m, high_m] = std::minmax(piece.from_m, piece.to_m);
    for (auto c = of_link.first; c != of_link.second; ++c) {
      if (c->along_m >= low_m && c->along_m <= high_m) act(*c);
    }
  }

  const Network& network_;
  bool counts_services_ = false;
};

// Length past the last customer on the first `count` pieces.
double TailOf_m(const QuietPlace& place, size_t count, const Customers& customers) {
  if (place.kind != QuietKind::kNullPoint) return place.tail_m;
  double tail_m = 0;
  for (size_t i = count; i-- > 0;) {
    const ReachPiece& piece = place.reach[i];
    if (const auto last_m = customers.LastOn(piece)) return tail_m + LengthOf_m(piece) - *last_m;
    if (!customers.counts_services() && piece.demand_m3_per_s > 0) return tail_m;
    tail_m += LengthOf_m(piece);
  }
  return tail_m;
}

ReachPipe PipeOf(const Link& link, double length_m) {
  ReachPipe pipe;
  pipe.length = {Length::Metres(length_m), link.length_m.origin};
  if (pipe.length.origin.by.empty()) pipe.length.origin = {OriginKind::kEstimated, kByMap, {}, ""};
  if (link.inner_diameter_m) {
    pipe.inner_diameter = {Diameter::Millimetres(1000 * link.inner_diameter_m->value),
                           link.inner_diameter_m->origin};
  }
  pipe.material = link.material;
  pipe.services = {0, {OriginKind::kEstimated, kByMap, {}, ""}};
  return pipe;
}

// Whether two neighbours may be one pipe with its customers spread evenly.
bool MayJoin(const ReachPipe& a, const ReachPipe& b) {
  const bool both_serve = a.services.value > 0 && b.services.value > 0;
  const bool neither_draws = a.services.value == 0 && b.services.value == 0 && !a.demand && !b.demand;
  return (both_serve || neither_draws) && a.inner_diameter.value == b.inner_diameter.value &&
         a.material == b.material && a.demand.has_value() == b.demand.has_value();
}

void AddCustomers(ReachPipe& to, const ReachPipe& from) {
  to.services.value += from.services.value;
  if (!from.demand) return;
  if (!to.demand) to.demand = Sourced<Flow>{Flow(), from.demand->origin};
  to.demand =
      Sourced<Flow>{to.demand->value + from.demand->value, Worse(to.demand->origin, from.demand->origin)};
}

// Adds a pipe, to the last one where it is alike and `may_join`; whether a pipe of its own came to be.
bool Append(std::vector<ReachPipe>& pipes, const ReachPipe& pipe, bool may_join) {
  if (!(pipe.length.value.metres() > 0)) {
    // What is drawn on a piece of no length is drawn where the pipe before it ends, or at the tee.
    if (!pipes.empty()) AddCustomers(pipes.back(), pipe);
    return false;
  }
  if (pipes.empty() || !may_join || !MayJoin(pipes.back(), pipe)) {
    pipes.push_back(pipe);
    return true;
  }
  ReachPipe& last = pipes.back();
  last.length = {last.length.value + pipe.length.value, Worse(last.length.origin, pipe.length.origin)};
  last.inner_diameter.origin = Worse(last.inner_diameter.origin, pipe.inner_diameter.origin);
  AddCustomers(last, pipe);
  return false;
}

// `parts_before`: of each piece, whether ways part where it begins; empty for none.
NamedPipes Pipes(const Network& network, const QuietPlace& place, const std::vector<char>& parts_before) {
  const Customers customers(network);
  const size_t count = FirstArm(place);
  double left_m = -TailOf_m(place, count, customers);  // until the tail begins
  for (size_t i = 0; i < count; ++i) left_m += LengthOf_m(place.reach[i]);
  NamedPipes named;
  constexpr double kRounding_m = 1e-6;
  for (size_t i = 0; i < count; ++i) {
    const ReachPiece& piece = place.reach[i];
    const std::string& id = network[piece.link].id;
    const double length_m = LengthOf_m(piece);
    bool may_join = parts_before.empty() || parts_before[i] == 0;
    if (left_m > kRounding_m || (piece.services > 0 && left_m > -kRounding_m)) {
      ReachPipe serving = PipeOf(network[piece.link], std::clamp(left_m, 0.0, length_m));
      serving.services.value = piece.services;
      if (piece.demand_m3_per_s > 0) {
        serving.demand =
            Sourced<Flow>{Flow::CubicMetresPerSecond(piece.demand_m3_per_s), customers.DemandOrigin(piece)};
      }
      if (Append(named.pipes, serving, may_join)) named.ids.push_back(id);
      may_join = true;
    }
    const double still_m = std::min(length_m, length_m - left_m);
    // Past one's last customer, which is not where another's is.
    if (still_m > kRounding_m && Append(named.pipes, PipeOf(network[piece.link], still_m), may_join)) {
      named.ids.push_back(id + " past the last customer of " + place.id);
    }
    left_m -= length_m;
  }
  return named;
}

}  // namespace

double DistanceTo_m(const QuietPlace& place, Position at) {
  const Plane plane(at);
  return Distance_m(plane.To(place.at), plane.To(at));
}

const QuietPlace* PlaceNear(const std::vector<QuietPlace>& places, Position at, double within_m) {
  const QuietPlace* nearest = nullptr;
  // A degree of latitude is 111 km: most places are ruled out without a projection.
  const double most_deg = within_m / 100e3;
  for (const QuietPlace& place : places) {
    if (place.kind == QuietKind::kNullPoint || place.kind == QuietKind::kHydrantLead) continue;
    if (std::abs(place.at.latitude_deg - at.latitude_deg) > most_deg) continue;
    if (DistanceTo_m(place, at) > within_m) continue;
    if (nearest == nullptr || DistanceTo_m(place, at) < DistanceTo_m(*nearest, at)) nearest = &place;
  }
  return nearest;
}

std::vector<ReachPipe> PipesOf(const Network& network, const QuietPlace& place) {
  return Pipes(network, place, {}).pipes;
}

std::vector<NamedPipes> NamedPipesOf(const Network& network, const std::vector<const QuietPlace*>& places) {
  std::map<LinkIndex, std::vector<size_t>> used_by;
  for (size_t p = 0; p < places.size(); ++p) {
    for (size_t i = 0; i < FirstArm(*places[p]); ++i) used_by[places[p]->reach[i].link].push_back(p);
  }
  std::vector<NamedPipes> all;
  for (const QuietPlace* place : places) {
    std::vector<char> parts_before(FirstArm(*place), 0);
    for (size_t i = 1; i < parts_before.size(); ++i) {
      parts_before[i] = used_by[place->reach[i].link] != used_by[place->reach[i - 1].link] ? 1 : 0;
    }
    all.push_back(Pipes(network, *place, parts_before));
  }
  return all;
}

std::optional<double> VolumeOf_m3(const std::vector<ReachPipe>& pipes) {
  double volume_m3 = 0;
  for (const ReachPipe& pipe : pipes) {
    if (!(pipe.inner_diameter.value.metres() > 0)) return {};
    volume_m3 += PipeVolume(pipe.length.value, pipe.inner_diameter.value).cubic_metres();
  }
  return volume_m3;
}

}  // namespace lastreach
