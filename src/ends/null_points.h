#pragma once

#include <optional>

#include "ends/reach_trace.h"

namespace lastreach {

// The place on a link fed from both ends where its waters meet, if it is quiet: the last customer on either
// arm gets its water later than quiet_days after the well-fed main, or the water that stands between the last
// customers of both is longer than still_m. None where nothing is known to be drawn.
//
// The reach has the slower arm first, then the other; measures are of both, the days the longer ones.
// REQUIRES: the link is fed from both ends.
std::optional<QuietPlace> QuietMeetingPoint(LinkIndex link, const ReachTracer& tracer);

}  // namespace lastreach
