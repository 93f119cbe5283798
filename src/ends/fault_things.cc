#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "ends/along.h"
#include "ends/fault_finder.h"

namespace lastreach {

void FaultFinder::FindServicesWithoutMain() {
  std::set<FeatureKey> served;
  for (const Connection& connection : network_.connections) served.insert(connection.service);
  constexpr double kSquare_m = 200;
  std::map<std::pair<long, long>, std::vector<size_t>> squares;
  for (size_t i = 0; i < records_.drawing.services.size(); ++i) {
    const DrawnService& service = records_.drawing.services[i];
    if (served.contains(service.key)) continue;
    const PlanePoint at = near_.plane().To(service.at);
    squares[{std::lround(at.x_m / kSquare_m), std::lround(at.y_m / kSquare_m)}].push_back(i);
  }
  for (const auto& [square, services] : squares) AddServiceGroup(services);
}

void FaultFinder::AddServiceGroup(const std::vector<size_t>& services) {
  int count = 0;
  double nearest_m = -1;
  for (const size_t i : services) {
    const DrawnService& service = records_.drawing.services[i];
    count += service.count;
    const auto main = near_.NearestMain(near_.plane().To(service.at));
    if (main && (nearest_m < 0 || main->distance_m < nearest_m)) nearest_m = main->distance_m;
  }
  Fault& fault = Add(FaultKind::kServiceWithoutMain, Weight(count, 0), 1,
                     Counted(count, "service") + " stand where no main serves them" +
                         (nearest_m >= 0 ? ", the nearest " + Metres(nearest_m) + " away" : "") +
                         ": their use is missing from the reach they hang on",
                     "draw the missing main, or see whether they have water of their own");
  const DrawnService& first = records_.drawing.services[services.front()];
  fault.at = first.at;
  fault.where = first.street.empty() ? first.key.layer + " " + first.key.key : first.street;
  for (const size_t i : services) fault.features.push_back(records_.drawing.services[i].key);
}

void FaultFinder::FindThingsOffMains() {
  for (const DrawnThing& thing : records_.drawing.things) {
    const auto main = near_.NearestMain(near_.plane().To(thing.at));
    if (main && main->distance_m <= options_.thing_reach_m) continue;
    const bool feeds = thing.kind == ThingKind::kSource || thing.kind == ThingKind::kTank;
    const std::string name = std::string(ToText(thing.kind)) + (thing.name.empty() ? "" : " " + thing.name);
    Fault& fault = Add(FaultKind::kThingOffMain, feeds ? all_ : 1, feeds ? 0.5 : 1,
                       "the " + name +
                           (main ? " stands " + Metres(main->distance_m) + " from the nearest main"
                                 : " stands on a map without mains") +
                           (feeds ? ": it feeds nothing" : ": it is on no reach"),
                       "draw the main to it, or move it to where it is");
    fault.at = thing.at;
    fault.where = thing.name.empty() ? thing.key.layer + " " + thing.key.key : thing.name;
    fault.features = {thing.key};
  }
}

bool FaultFinder::RunsBeside(LinkIndex link, LinkIndex other) const {
  for (const double share : {0.2, 0.35, 0.5, 0.65, 0.8}) {
    const auto place = PositionAlong(network_[link], share * network_[link].length_m.value);
    const auto hits = near_.MainsWithin(near_.plane().To(*place), options_.doubled_within_m,
                                        [other](LinkIndex l) { return l == other; });
    if (hits.empty()) return false;
  }
  return true;
}

void FaultFinder::FindDoubledMains() {
  for (size_t i = 0; i < network_.links.size(); ++i) {
    const Link& link = network_.links[i];
    if (link.line.size() < 2 || link.length_m.value < options_.doubled_length_m) continue;
    const auto middle = PositionAlong(link, link.length_m.value / 2);
    for (const NearMain& hit : near_.MainsWithin(near_.plane().To(*middle), options_.doubled_within_m)) {
      const Link& other = network_[hit.link];
      // The shorter of the two is told, the later one of two as long.
      const bool is_shorter = link.length_m.value != other.length_m.value
                                  ? link.length_m.value < other.length_m.value
                                  : At(hit.link) < i;
      if (At(hit.link) == i || !is_shorter || !RunsBeside(LinkIndex(i), hit.link)) continue;
      Fault& fault = Add(FaultKind::kDoubledMain, Weight(services_[i], link.length_m.value), 0.5,
                         Metres(link.length_m.value) + " of main run within " +
                             Metres(options_.doubled_within_m) + " of another: drawn twice, or two pipes?",
                         "take one of the two off the map if there is one pipe in the ground");
      fault.at = middle;
      PutAt(fault, LinkIndex(i));
      PutAt(fault, hit.link);
      break;
    }
  }
}

void FaultFinder::FindMaybeGaps() {
  for (const QuietPlace& place : records_.quiet_places) {
    if (place.kind != QuietKind::kMaybeGap) continue;
    Fault& fault = Add(FaultKind::kMaybeGap, Weight(place.services + place.services_beyond, place.length_m),
                       0.5, place.id + " " + (place.notes.empty() ? "may be no end" : place.notes.back()),
                       "look in the ground: join the two on the map, or leave it an end");
    fault.at = place.node ? network_[*place.node].at : std::nullopt;
    fault.where = !place.street.empty() ? place.street
                  : place.node          ? "node " + network_[*place.node].id
                                        : place.id;
    if (!place.reach.empty()) PutAt(fault, place.reach.back().link);
  }
}

}  // namespace lastreach
