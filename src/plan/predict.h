#pragma once

#include <string>
#include <vector>

#include "core/result.h"
#include "plan/facts.h"

namespace lastreach {

// The lowest residual that customers of a reach get, and how far it may be off.
struct LowPrediction {
  double low_mg_per_l = 0;           // one draw in ten is below
  double middle_mg_per_l = 0;        // half are
  double high_mg_per_l = 0;          // one in ten is above
  std::vector<std::string> assumed;  // numbers nobody measured, in words
};

// What the reach holds as it is run now: with the present settings of its device, or without flushing where
// it has none. The reach is judged at its services, at its end if it has none, over the season of the options
// with the water as warm as in the worst week. Uncertain numbers are drawn (numbers.h): low, middle and high
// are of all draws over the same days, those round the worst moment at middle values; the device's clock is
// as last found. Neither a target nor a flow is needed for a reach without flushing.
//
// DETERMINISM: the same facts and options give the same prediction on every machine.
// ERROR: kBadInput, as GatherNumbers: the residual upstream, the length of the reach, or the device's flow is
// not known. COST: `draws` transports, some milliseconds without flushing.
Result<LowPrediction> PredictLowest(const DeviceFacts& facts, const PlanOptions& options, int draws = 64);

}  // namespace lastreach
