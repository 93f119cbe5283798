#pragma once

#include <string>
#include <vector>

#include "ledger/reach.h"
#include "network/network.h"

namespace lastreach {

// A number that an answer rests on, and how it came to be known.
struct NumberUsed {
  std::string what;    // "loss in the bulk at 20 C, zone Millrace"
  std::string value;   // "0.35 1/d"
  std::string origin;  // "typed by town office", "assumed"
  friend bool operator==(const NumberUsed&, const NumberUsed&) = default;
};

// Puts what is known of the water of each zone into the network as planning does for a reach
// (plan/numbers.h): the residual of sources and tanks without levels, the losses in the bulk (at the zone's
// worst week) and at the walls of each link, and viscosity and diffusivity at the warmest of the zones. A
// link or node of a zone nobody described has the defaults of planning; with one zone described all is of it.
// What the network itself gives stays. The numbers used are added to `used`, each once.
void PutZoneWater(const std::vector<SupplyZone>& zones, Network& network, std::vector<NumberUsed>& used);

// The zone by its name, or the only one there is where the name is empty; null for none.
const SupplyZone* FindZone(const std::vector<SupplyZone>& zones, const std::string& name);

}  // namespace lastreach
