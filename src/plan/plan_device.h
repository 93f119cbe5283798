#pragma once

#include "plan/device_plan.h"
#include "plan/facts.h"

namespace lastreach {

// The settings for one device: over what its timer accepts and its limits allow, the ones that hold the
// target at every service of the reach (at the end of the longest gap, in the worst week, with the clock
// right or an hour out either way) in at least the asked-for share of draws of the uncertain numbers, with
// the least water. Ties go to fewer runs a day; settings that hold already are kept unless water worth a
// visit can be saved.
//
// Missing or hopeless cases are verdicts, not errors. Method: docs/theory/planning.md.
// DETERMINISM: the same facts and options give the same plan on every machine.
// COST: some thousand transports of a few days: about 0.06 s with a hundred draws each way, 0.15 s with the
// default ones. Asks PlanOptions::stop now and then; what it gives when stopped: DevicePlan::stopped_early.
DevicePlan PlanDevice(const DeviceFacts& facts, const PlanOptions& options);

}  // namespace lastreach
