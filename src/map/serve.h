#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/quantity.h"
#include "core/result.h"
#include "network/drawing.h"
#include "network/network.h"

namespace lastreach {

// All change the answer.
struct ServeOptions {
  double reach_m = 60;       // a customer's main is looked for within this
  double far_reach_m = 150;  // and then within this, which is noted
  // A main in the customer's street is preferred if it is no farther than same_street_times x the nearest +
  // same_street_plus_m: a corner house is served from the street of its address.
  double same_street_times = 2.5;
  double same_street_plus_m = 10;
  // Mains wider than this carry water past customers and serve one only if nothing else is within reach_m.
  // Common practice, no source.
  double transmission_diameter_m = 0.4;
  // A piece to a hydrant shorter than this is no main and serves nobody. DEFAULT: as ends are told
  // (ends/end_options.h); common practice, no source.
  double hydrant_lead_m = 15;
  // Of a connection nobody metered. DEFAULT: 150 gal/d, the same as planning a reach takes where nothing is
  // known; common practice, no source.
  double demand_per_service_m3_per_s = Flow::GallonsPerDay(150).cubic_metres_per_second();
  // Where the drawing has no service at all and no inflow is given. Common practice, no source.
  double services_per_km = 40;
  std::optional<double> system_inflow_m3_per_s;  // average of what is put into the system
  double losses_share =
      0.1;  // of the inflow, lost from the mains; only with an inflow. Common practice, no source
};

// A service and how far its main is, or any main.
struct ServiceDistance {
  size_t service = 0;  // index in Drawing::services
  std::optional<double> distance_m;
};

struct ServeSummary {
  int served = 0;                         // features
  int connections = 0;                    // that they stand for
  int by_street = 0;                      // not on the nearest main, but on the one in their street
  int by_transmission = 0;                // on a transmission main, for want of another
  std::vector<ServiceDistance> far;       // served, but between reach_m and far_reach_m away
  std::vector<ServiceDistance> unserved;  // nothing within far_reach_m; `distance_m` none without mains
  double metered_m3_per_s = 0;            // use as drawn, of all services
  double unmetered_m3_per_s = 0;          // of all others, after scaling
  double losses_m3_per_s = 0;
  double unserved_m3_per_s = 0;    // of metered and unmetered: not in the network
  double unmetered_factor = 1;     // what demand per service was multiplied by, to meet the inflow
  bool by_length = false;          // no service is drawn: demand goes by length of main
  std::vector<std::string> notes;  // sentences on what was assumed
};

// Gives every drawn service to a main and the main's place nearest to it: the nearest pipe, one in the same
// street preferred, transmission mains last. Fills network.connections, in order of link, then along it.
// Demand is the use the service has, else its count times demand_per_service. Without any service it is
// spread by length of main, one connection of count 0 at the middle of each.
//
// With an inflow I the account is balanced: I = metered + factor x unmetered + losses, losses = losses_share
// I, spread by length of main over the nodes (Node::demand_m3_per_s), half of each main's to either end.
// Where metered use leaves less than the losses, unmetered use and losses share what is left in their
// proportion.
//   Promise: sum of connections + unserved + losses = I, and without an inflow = sum of demand, to rounding.
//
// ERROR: kBadInput if metered use alone is more than the inflow, or the inflow is not above 0.
// COST: O(n log n); 100,000 services on 100,000 links in about two seconds.
Result<ServeSummary> ServeCustomers(Network& network, const Drawing& drawing,
                                    const ServeOptions& options = {});

}  // namespace lastreach
