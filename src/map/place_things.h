#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "network/drawing.h"
#include "network/network.h"
#include "network/split.h"

namespace lastreach {

// All change the answer. What lies closer together is more surely one thing; farther reaches place more
// things, some of them wrongly.
struct PlaceOptions {
  double node_reach_m = 1;    // a thing this close to a node stands at it
  double valve_reach_m = 3;   // valves, pumps and fittings stand on their main
  double thing_reach_m = 30;  // hydrants, blow-offs, tanks and sources may stand beside it
  // A hydrant or blow-off whose place on a main is this close to the main's dead end stands at the end.
  double end_reach_m = 5;
};

// Where a thing of the drawing came to stand: at a node, or on a link without a node of its own.
struct PlacedThing {
  size_t thing = 0;  // index in Drawing::things
  std::optional<NodeIndex> node;
  std::optional<LinkPlace> place;
  double distance_m = 0;  // from where it is drawn
};

// One that is not on the network, or is there but could not do what it is for; and why.
struct UnplacedThing {
  size_t thing = 0;
  std::optional<double> nearest_main_m;  // none in a network without mains
  std::string reason;                    // one sentence
};

struct PlaceSummary {
  std::vector<PlacedThing> placed;      // in the drawing's order
  std::vector<UnplacedThing> too_far;   // beyond reach of every main; placed nowhere
  std::vector<UnplacedThing> doubtful;  // placed, but a person should look
  std::array<int, 7> placed_by_kind{};  // size of ThingKind, in its order
  int nodes_added = 0;
  int valves_shut = 0;  // links made closed
  int pumps_added = 0;  // links made pumps; their curves are not known
};

// Puts what stands on the mains or beside them onto the network. In place:
//   valve     at a node within node_reach_m or on the nearest main within valve_reach_m. A shut one becomes a
//   closed
//             link of no length there; at a tee it shuts the branch it is drawn on, or none if that is not
//             clear.
//   pump      as a shut valve, but a pump link along the main's direction, without a curve. One that stands
//   beside
//             the main, within thing_reach_m, is placed and not put in.
//   fitting   as an open valve.
//   hydrant   at a node, at the end of its main (end_reach_m), or on the nearest main, which is not cut.
//   blow-off  the same, but its main is cut where it stands.
//   tank, source   at a dead end or node that is not much farther than the nearest main (2.5 times and 5 m),
//   else
//             the main is cut. The node becomes a tank or source with the drawn head.
// Things at a node are listed in Node::things. Every thing is in `placed` or in `too_far`.
// COST: O(n log n) in things, links and their vertices; 100,000 things on 100,000 links in about a second.
PlaceSummary PlaceThings(Network& network, const Drawing& drawing, const PlaceOptions& options = {});

}  // namespace lastreach
