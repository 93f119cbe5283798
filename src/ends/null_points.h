#pragma once

#include <optional>

#include "ends/reach_trace.h"

namespace lastreach {

// Whether two waters meet on a link, so far as can be told: it is fed from both ends, and something is known
// to be drawn in its part.
bool WatersMeetOn(LinkIndex link, const Network& network, const ShortestFeed& feed);

// The place on a link where two waters meet, if it is quiet. Every loop has such a place, and in most nobody
// would miss it: the street is drawn from on both sides, and the place wanders with the hour. Quiet is one
//
//   of old water    the last customer on either arm gets it more than quiet_days old, counted from the source
//                   or, where none is known, from the well-fed main
//   that stands     between the last customers of both arms lie more than still_m, holding more than both
//                   arms use in swept_days
//
// and a note says which. The reach has the slower arm first, then the other; measures are of both, the days
// the longer ones.
// REQUIRES: waters meet on the link.
std::optional<QuietPlace> QuietMeetingPoint(LinkIndex link, const ReachTracer& tracer);

}  // namespace lastreach
