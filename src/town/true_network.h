#pragma once

#include <string>
#include <vector>

#include "town/street_plan.h"

namespace lastreach {

// The town's network as it lies in the ground, for holding what is made of the messy layers against it.
struct TrueNode {
  TownPoint at;
  int pipes = 0;            // that meet here
  std::string work;         // name of the plant, neighbour, booster or tank here; empty for none
  bool shut_valve = false;  // the valve between the two waters
};

// A pipe from joint to joint, of one diameter.
struct TruePipe {
  size_t street = 0;  // in StreetPlan()
  size_t from = 0;    // in TrueNetwork::nodes
  size_t to = 0;
  double from_m = 0;  // along the street's line
  double to_m = 0;
  double diameter_in = 0;
};

struct TrueNetwork {
  std::vector<TrueNode> nodes;
  std::vector<TruePipe> pipes;  // in the order of the streets, then along each
};

// Joins the streets where a vertex of one lies on the line of another, within a tenth of a millimetre.
// COST: vertices times stretches.
TrueNetwork JoinStreets(const std::vector<PlannedStreet>& plan);

// JoinStreets(StreetPlan()) with the works and the shut valves named; computed once.
const TrueNetwork& TheTrueNetwork();

// Connected parts; a shut valve parts what it stands between if `through_shut_valves` is false.
int CountParts(const TrueNetwork& network, bool through_shut_valves);

// Nodes where a single pipe ends without a work, by kind of street: hydrant leads are no ends of mains.
std::vector<size_t> MainEnds(const TrueNetwork& network);

// The four works.
std::vector<TownWork> Works();

}  // namespace lastreach
