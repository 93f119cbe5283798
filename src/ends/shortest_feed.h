#pragma once

#include <cstddef>
#include <limits>
#include <optional>
#include <span>
#include <vector>

#include "network/network.h"
#include "network/structure.h"

namespace lastreach {

// Which end of a link its water comes in by.
enum class FedBy { kNothing, kFrom, kTo, kBoth };

// Average water of one link, shared out along shortest ways.
struct LinkFeed {
  FedBy fed_by = FedBy::kNothing;  // of shut links: nothing
  double cut_m = 0;                // where it is fed from both: the place where the two meet, from `from`
  double carried_on_m3_per_s = 0;  // leaves at the far end; nothing where fed from both
  // Drawn along it, and the services there, on the part fed from `from` [0] and from `to` [1].
  double drawn_m3_per_s[2] = {0, 0};
  int services[2] = {0, 0};
};

// Average flows of the whole network, estimated without solving for heads.
struct ShortestFeed {
  // Of each node; size nodes:
  std::vector<std::optional<LinkIndex>> parent;  // the link that brings its water; none of roots
  std::vector<std::optional<NodeIndex>> root;    // where its water comes in; none where none comes
  std::vector<double> flow_m3_per_s;             // drawn at it and beyond it
  std::vector<int> services;                     // beyond it, along links
  std::vector<double> age_s;                     // time along the way; infinite where nothing is drawn beyond
  std::vector<char> is_assumed;                  // its root is no source or tank
  // Of each link; size links:
  std::vector<LinkFeed> links;
  std::vector<NodeIndex> farthest_last;  // nodes that water comes to, each after the one before it on its way
  std::vector<NodeIndex> assumed_roots;  // of parts without source or tank
};

struct FeedOptions {
  // Inner diameter of a pipe of which nobody knows it, for the shares only.
  // SOURCE: 150 mm (6 in) is the most common width of mains (common practice, no source).
  double assumed_diameter_m = 0.15;
};

// Shares the average demands out over the network as if each drop came by the way of least resistance:
//
//   resistance of a link  r = L / d^4.87        SOURCE: the Hazen-Williams formula's exponents
//   way to a node         D = least sum of r from any source or tank (Dijkstra)
//   links not on a way    are cut at  x = L (D_to - D_from + r) / 2 r,  where both ways are equally long:
//                         the candidate for the point where water meets
//   flow into a node      q = its demand + what its links carry on and what is drawn along them
//   age                   t = INTEGRAL dV / q along the way, from connection to connection
//
// Check valves, pumps and control valves let water pass from `from` to `to` only; links without length or
// width count as 1 m. A part without source or tank is fed from its widest main, at that of its two ends
// where more mains meet; such nodes are listed in assumed_roots.
//
// This is an ESTIMATE, which flows of a solved network replace: on trees it is exact, in loops it puts all of
// a node's water on one of its ways, so that the other carries too little. Mass balances at every node.
// REQUIRES: connections in order of link, then along it.
// COST: O(links log nodes).
ShortestFeed EstimateFeed(const Network& network, const Adjacency& adjacency,
                          const FeedOptions& options = {});

// One stretch of a link between two places where water is drawn: what flows through it.
struct FlowStretch {
  double length_m = 0;
  double flow_m3_per_s = 0;  // along the way of the water; negative only where a demand is
};

// The connections of each link, in order along it: of link i, [first[i], first[i + 1]) of the network's.
// REQUIRES: connections in order of link, then along it.
std::vector<size_t> FirstConnections(const Network& network);

// The stretches of the part of `link` fed from `from` (side 0) or `to` (side 1), in the direction of the
// water. Connections draw where they stand, and the last stretch carries what goes on. Empty where that end
// feeds nothing.
std::vector<FlowStretch> StretchesOf(const Network& network, const std::vector<size_t>& first_connection,
                                     const LinkFeed& feed, LinkIndex link, int side);

// Seconds that water takes along the stretches in a pipe of this inner diameter: SUM pi d^2 L / 4 q. Infinite
// where one of any length carries nothing.
double TravelTime_s(std::span<const FlowStretch> stretches, double diameter_m);

// Inner diameter of a link, or the assumed one.
double WidthOf_m(const Link& link, const FeedOptions& options = {});

// Whether water passes from `from` to `to` only.
bool IsOneWay(const Link& link);

}  // namespace lastreach
