#pragma once

#include <vector>

#include "ends/end_options.h"
#include "network/network.h"
#include "network/quiet_place.h"

namespace lastreach {

// Every place of the network where water may stand, ranked: the ids follow the rank.
//
//   dead end     a junction with one open way, hydrants' own pipes not counted
//   stub         the same without a customer since the last fork, if customers are known anywhere
//   shut valve   the same where a shut link goes on; each side of a valve is a place
//   maybe a gap  the same without hydrant or blow-off, close to another main it is not joined to nearby
//   hydrant lead a few metres from a fork to a hydrant
//   null point   where water of both ends of a link meets (shortest_feed.h) and is old or stands
//                (null_points.h); not looked for in parts where nothing is known to be drawn, as there the
//                water would meet everywhere
//
// Each with its reach (reach_trace.h). The reach of a null point has both arms: first the one in which water
// is longer on its way, from its tee to the meeting place, then the other, from its own tee to the same place
// (FirstArm tells them apart); its days are the longer ones, its tail both stretches that stand.
//
// Rank: first those with customers, by days to the last of them, the longest first and those not known before
// all; then those without, by the water that stands there; hydrant leads last. Equal ones by place.
//
// Flows and days are estimates without a solver. REQUIRES: connections in order of link, then along it.
// COST: O(links log links) and the length of all reaches; 100,000 links in about a second.
// `meetings`, where given, tells how many places where two waters meet were looked at: one a loop.
std::vector<QuietPlace> FindQuietPlaces(const Network& network, const EndOptions& options = {},
                                        int* meetings = nullptr);

// How many of the pieces of a null point's reach are its first arm; all of them for other kinds.
size_t FirstArm(const QuietPlace& place);

}  // namespace lastreach
