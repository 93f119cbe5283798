#pragma once

#include "ends/reach_trace.h"

namespace lastreach {

// Puts what an arm measures into a place, with what feeds it, and notes on what was assumed.
void TakeArm(const Arm& arm, const ReachTracer& tracer, QuietPlace& place);

}  // namespace lastreach
