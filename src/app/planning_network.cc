#include "app/planning_network.h"

#include <cmath>

#include "app/reach_from_map.h"

namespace lastreach {
namespace {

// Where the reach of a quiet place begins. Pieces are of the map's own links, which cutting leaves with their
// `from` end.
NodeIndex RootOf(const Network& map, const QuietPlace& place) {
  const ReachPiece& first = place.reach.front();
  const Link& link = map[first.link];
  return first.from_m < link.length_m.value / 2 ? link.from : link.to;
}

}  // namespace

Result<PreparedPlanning> PreparePlanning(const MapSource& source, const ProjectFacts& facts,
                                         PrepareOptions options) {
  options.device_runs = false;
  auto prepared = PrepareProject(source, options);
  if (!prepared.ok()) return prepared.error();
  PreparedPlanning planning;
  planning.numbers = std::move(prepared->numbers);
  planning.notes = std::move(prepared->notes);
  std::vector<QuietPlace> places;
  for (const EndNode& end : prepared->ends) places.push_back(end.place);
  for (size_t d = 0; d < facts.devices.size(); ++d) {
    const FlushPoint& point = facts.devices[d].point;
    const QuietPlace* place = point.position ? PlaceNear(places, *point.position) : nullptr;
    if (place == nullptr || place->reach.empty()) {
      planning.notes.push_back(
          "Device " + point.code.text() +
          (point.position ? " stands at no end of the map" : " has no place on the map") +
          ": it is planned by itself, without the network.");
      continue;
    }
    const EndNode& end = prepared->ends[static_cast<size_t>(place - places.data())];
    PlacedDevice placed;
    placed.device = d;
    placed.node = end.node;
    placed.root = RootOf(*source.network, end.place);
    placed.judged = end.customers.empty() ? std::vector<NodeIndex>{end.node} : end.customers;
    planning.network.placed.push_back(std::move(placed));
  }
  for (const Node& node : prepared->network.nodes) planning.names.push_back(node.id);
  planning.network.network = std::move(prepared->network);
  return planning;
}

NetworkSummary SummaryOf(const NetworkConfirmation& network, const std::vector<std::string>& names) {
  NetworkSummary summary;
  summary.confirmed = network.confirmed;
  summary.rounds = network.rounds;
  summary.lowest_pressure_m = network.planned.lowest_pressure_m;
  summary.lowest_pressure_now_m = network.now.lowest_pressure_m;
  summary.lowest_pressure_at = names[At(network.planned.lowest_pressure_at)];
  summary.together = network.together;
  summary.closings = network.closings;
  return summary;
}

}  // namespace lastreach
