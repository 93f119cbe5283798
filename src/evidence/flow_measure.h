#pragma once

#include "core/quantity.h"
#include "core/result.h"
#include "ledger/flush_runs.h"

namespace lastreach {

// The flow of an open outlet as it was measured, with how far it may be off.
struct MeasuredFlow {
  double flow_m3_per_s = 0;
  double log_sd = 0;  // one standard deviation of its logarithm; of small ones, as a share of the flow
  MeasuredBy by = MeasuredBy::kEstimate;
};

// One standard deviation as a share of the flow, where nothing more is known than how it was measured: the
// middles of meter 2-5 %, drum 5-10 %, pitot 10-15 %, a guess 30-50 % (common practice, no source).
double UsualLogSd(MeasuredBy by);

// Volume over time by the dial: q = (after - before) / t. `dial_step` is the least volume the dial tells
// apart; each of the two readings is out by up to half of it. The meter itself: 2 %. ERROR: kBadInput for
// a time or a volume that is not above 0.
Result<MeasuredFlow> FlowByMeter(Volume before, Volume after, Duration time, Volume dial_step = {});

// A container filled once: q = V / t. What it holds is known to 5 %, the watch to half a second.
// ERROR: kBadInput for a time or a volume that is not above 0.
Result<MeasuredFlow> FlowByDrum(Volume filled, Duration time);

// A gauge at the middle of the open jet: q = c A sqrt(2 p / rho), in the trade's units
//
//   q [gal/min] = 29.84 c d^2 sqrt(p)      d [in], p [psi]
//
// c = 0.90 for an outlet smooth and rounded, 0.80 square and sharp, 0.70 square and reaching into the barrel.
// c is known to 10 %, the gauge to 1 psi as two standard deviations.
// ERROR: kBadInput for a diameter or pressure that is not above 0, or c outside 0.3 to 1.
// SOURCE: NFPA 291; density 62.37 lb/ft3.
Result<MeasuredFlow> FlowByPitot(Diameter outlet, double coefficient, Pressure pitot);

// The same orifice at another pressure: flow follows its root.
double FlowAtPressure_m3_per_s(double flow_m3_per_s, Pressure measured_at, Pressure now);

}  // namespace lastreach
