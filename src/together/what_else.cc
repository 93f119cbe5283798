#include "together/what_else.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <limits>
#include <numbers>
#include <queue>

#include "together/network_judge.h"

namespace lastreach {
namespace {

// Inner widths mains are laid in [m], nominal (common practice, no source).
constexpr double kWidths_m[] = {0.05, 0.08, 0.10, 0.15, 0.20, 0.25, 0.30, 0.40, 0.50, 0.60};

// The next width clearly below, or none.
std::optional<double> NextSmaller(double diameter_m) {
  std::optional<double> smaller;
  for (const double width_m : kWidths_m) {
    if (width_m < diameter_m * 0.95) smaller = width_m;
  }
  return smaller;
}

double GroundDistance_m(Position a, Position b) {
  constexpr double kEarth_m = 6371e3;
  constexpr double kRadians = std::numbers::pi / 180;
  const double north = (a.latitude_deg - b.latitude_deg) * kRadians;
  const double east = (a.longitude_deg - b.longitude_deg) * kRadians *
                      std::cos((a.latitude_deg + b.latitude_deg) / 2 * kRadians);
  return kEarth_m * std::hypot(north, east);
}

class Trier {
 public:
  Trier(const PlanningNetwork& network, const std::vector<DeviceDuty>& duties, size_t i,
        const DeviceFacts& facts, double target_mg_per_l, const PlanThese& plan, const Zone& zone,
        DateWindow season)
      : network_(network),
        duties_(duties),
        i_(i),
        facts_(facts),
        target_mg_per_l_(target_mg_per_l),
        plan_(plan),
        zone_(zone),
        season_(season),
        way_(ShortestWay(network.network, network.placed[i].root, network.placed[i].node)) {}

  Result<std::vector<OtherWayOutcome>> All() {
    for (const auto& attempt : {&Trier::Remove, &Trier::Move, &Trier::Narrow, &Trier::Loop}) {
      if (Status tried = (this->*attempt)(); !tried.ok()) return tried.error();
    }
    return std::move(outcomes_);
  }

 private:
  Status Remove() {
    OtherWayOutcome outcome;
    outcome.way = OtherWay::kRemove;
    return Judge(network_, Off(), outcome);
  }

  Status Move() {
    const PlacedDevice& placed = network_.placed[i_];
    const NodeIndex last = placed.judged.back();
    if (last == placed.node) return Ok();
    DeviceFacts moved = facts_;
    std::vector<ReachPipe>& pipes = moved.reach.pipes;
    while (pipes.size() > 1 && pipes.back().services.value == 0 && !pipes.back().demand) pipes.pop_back();
    if (pipes.size() == facts_.reach.pipes.size()) return Ok();
    PlanningNetwork changed = network_;
    changed.placed[i_].node = last;
    OtherWayOutcome outcome;
    outcome.way = OtherWay::kMoveToLastCustomer;
    return Judge(changed, Planned(moved, outcome), outcome);
  }

  Status Narrow() {
    DeviceFacts narrower = facts_;
    bool any = false;
    for (ReachPipe& pipe : narrower.reach.pipes) {
      const auto smaller = NextSmaller(pipe.inner_diameter.value.metres());
      if (!smaller) continue;
      pipe.inner_diameter.value = Diameter::Millimetres(1000 * *smaller);
      any = true;
    }
    if (!any || way_.empty()) return Ok();
    PlanningNetwork changed = network_;
    OtherWayOutcome outcome;
    outcome.way = OtherWay::kSmallerMain;
    for (const LinkIndex index : way_) {
      Link& link = changed.network[index];
      outcome.main_m += link.length_m.value;
      const auto smaller =
          link.inner_diameter_m ? NextSmaller(link.inner_diameter_m->value) : std::optional<double>();
      if (smaller) link.inner_diameter_m->value = *smaller;
    }
    return Judge(changed, Planned(narrower, outcome), outcome);
  }

  Status Loop() {
    const auto other = NearestOtherMain();
    if (!other || way_.empty()) return Ok();
    PlanningNetwork changed = network_;
    Network& net = changed.network;
    const NodeIndex end = network_.placed[i_].node;
    Link link = net[way_.back()];
    link.id = "a loop from " + net[end].id;
    link.from = end;
    link.to = *other;
    link.line.clear();
    link.main.reset();
    link.length_m.value = std::max(1.0, kLoopDetour * GroundDistance_m(*net[end].at, *net[*other].at));
    OtherWayOutcome outcome;
    outcome.way = OtherWay::kLoop;
    outcome.main_m = link.length_m.value;
    outcome.joined_to = *other;
    net.links.push_back(std::move(link));
    return Judge(changed, Off(), outcome);
  }

  DeviceDuty Off() const {
    DeviceDuty off = duties_[i_];
    off.settings.on = false;
    return off;
  }

  // What planning makes of the changed reach.
  DeviceDuty Planned(const DeviceFacts& facts, OtherWayOutcome& outcome) const {
    const DevicePlan planned = plan_({facts}).front();
    outcome.verdict = planned.verdict;
    if (planned.planned_outcome) outcome.water_m3_per_day = planned.planned_outcome->water_m3_per_day;
    return PlannedDuty(facts, planned);
  }

  Status Judge(const PlanningNetwork& network, DeviceDuty duty, OtherWayOutcome outcome) {
    std::vector<DeviceDuty> duties = duties_;
    duties[i_] = std::move(duty);
    const auto judged = JudgeOnNetwork(network, duties, zone_, season_);
    if (!judged.ok()) return judged.error();
    outcome.lowest_mg_per_l = judged->devices[i_].lowest_mg_per_l;
    outcome.holds = outcome.lowest_mg_per_l >= target_mg_per_l_;
    outcome.lowest_pressure_m = judged->lowest_pressure_m;
    outcomes_.push_back(outcome);
    return Ok();
  }

  std::optional<NodeIndex> NearestOtherMain() const {
    const Network& net = network_.network;
    const NodeIndex end = network_.placed[i_].node;
    if (!net[end].at) return {};
    std::vector<char> own(net.nodes.size(), 0);
    for (const LinkIndex link : way_) own[At(net[link].from)] = own[At(net[link].to)] = 1;
    std::optional<NodeIndex> nearest;
    double nearest_m = kLongestLoop_m / kLoopDetour;
    for (size_t n = 0; n < net.nodes.size(); ++n) {
      if (own[n] != 0 || !net.nodes[n].at || net.nodes[n].kind != NodeKind::kJunction) continue;
      const double distance_m = GroundDistance_m(*net[end].at, *net.nodes[n].at);
      if (distance_m >= nearest_m) continue;
      nearest_m = distance_m;
      nearest = static_cast<NodeIndex>(n);
    }
    return nearest;
  }

  const PlanningNetwork& network_;
  const std::vector<DeviceDuty>& duties_;
  size_t i_;
  const DeviceFacts& facts_;
  double target_mg_per_l_;
  const PlanThese& plan_;
  const Zone& zone_;
  DateWindow season_;
  std::vector<LinkIndex> way_;
  std::vector<OtherWayOutcome> outcomes_;
};

}  // namespace

std::string_view ToText(OtherWay way) {
  switch (way) {
    case OtherWay::kRemove:
      return "remove";
    case OtherWay::kMoveToLastCustomer:
      return "move to the last customer";
    case OtherWay::kSmallerMain:
      return "smaller main";
    case OtherWay::kLoop:
      return "loop";
  }
  return "remove";
}

Result<std::vector<OtherWayOutcome>> WhatElse(const PlanningNetwork& network,
                                              const std::vector<DeviceDuty>& duties, size_t i,
                                              const DeviceFacts& facts, double target_mg_per_l,
                                              const PlanThese& plan, const Zone& zone, DateWindow season) {
  return Trier(network, duties, i, facts, target_mg_per_l, plan, zone, season).All();
}

std::vector<LinkIndex> ShortestWay(const Network& network, NodeIndex from, NodeIndex to) {
  std::vector<std::vector<LinkIndex>> at(network.nodes.size());
  for (size_t l = 0; l < network.links.size(); ++l) {
    if (network.links[l].kind == LinkKind::kClosed) continue;
    at[At(network.links[l].from)].push_back(static_cast<LinkIndex>(l));
    at[At(network.links[l].to)].push_back(static_cast<LinkIndex>(l));
  }
  constexpr double kFar_m = std::numeric_limits<double>::infinity();
  std::vector<double> far_m(network.nodes.size(), kFar_m);
  std::vector<std::optional<LinkIndex>> by(network.nodes.size());
  using Reached = std::pair<double, size_t>;
  std::priority_queue<Reached, std::vector<Reached>, std::greater<>> next;
  far_m[At(from)] = 0;
  next.emplace(0.0, At(from));
  while (!next.empty()) {
    const Reached here = next.top();
    next.pop();
    if (here.first > far_m[here.second]) continue;
    if (here.second == At(to)) break;
    for (const LinkIndex index : at[here.second]) {
      const Link& link = network[index];
      const size_t other = At(link.from) == here.second ? At(link.to) : At(link.from);
      const double length_m = here.first + std::max(0.0, link.length_m.value);
      if (length_m >= far_m[other]) continue;
      far_m[other] = length_m;
      by[other] = index;
      next.emplace(length_m, other);
    }
  }
  std::vector<LinkIndex> way;
  for (size_t node = At(to); node != At(from);) {
    if (!by[node]) return {};
    way.push_back(*by[node]);
    const Link& link = network[*by[node]];
    node = At(link.from) == node ? At(link.to) : At(link.from);
  }
  std::reverse(way.begin(), way.end());
  return way;
}

}  // namespace lastreach
