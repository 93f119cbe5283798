#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "quality/branch.h"
#include "quality/flow_history.h"
#include "quality/kinetics.h"
#include "quality/passage.h"

namespace lastreach {

// Exact transport of the disinfectant along a branch. Water moves as a plug and nothing mixes on the way, so
// the water at the downstream end of segment j at time t
//
//   entered the segment when   A_j(t_in) = A_j(t) - V_j
//   and has lost               G_j(t) - G_j(t_in),  the residual falling by its exponential
//
// with A_j the volume that has entered the segment, V_j what it holds, and G_j the integral of its loss rate:
// bulk_per_s x bulk_factor and the wall's, which follows the flow of that segment in that step (kinetics.h)
// or, while it stands, the time it has stood (still_water.h). Upstream, the same again up to the root. Flow
// in segment j during step i is demand_factor[i] D_j + end_flow[i], D_j the average draws at and beyond its
// downstream end.
//
// ERROR: none of method, whatever the steps: no numerical mixing, no step to refine. Rounding stays below
// 1e-10. Water thinner than a sliver (1e-9 of a segment) may be passed over: see SegmentHistory::sliver_m3.
// Plug flow is a model: docs/theory/transport.md says what it leaves out and which way that errs.
//
// Taps count from 0 here: tap j is at the downstream end of segment j, and the last is the end of the branch.
// REQUIRES, for all: CheckBranch(branch) and CheckDrive(drive) hold.

// The worst that is met at one tap.
struct TapLow {
  double lowest_mg_per_l = 0;  // the lowest residual
  double when_s = 0;           // when, the first time if several
  double greatest_age_s = 0;   // the greatest age; water that was in the branch at time_s[0] counts from then
  bool saw_initial_water = false;  // some of the water judged was in the branch at time_s[0]
};

// Buffers of LowestResiduals, kept between calls. THREADS: one object, one thread.
struct TransportWorkspace {
  FlowHistory flows;
  SegmentHistory segment, upstream;
  Passage inlet, outlet;
  Entries entries;
  std::vector<uint8_t> bends;
  // Set by the last call: breakpoints worked out, all segments together.
  std::size_t breakpoints = 0;
};

// The lowest residual and the greatest age at every tap over [judge_from_s, judge_to_s], both ends included.
// While a tap stands, the water next to be drawn there is judged, up to the moment before it moves.
// Both are exact, found among finitely many candidates (proof in docs/theory/transport.md): the instants of
// the drive and of the window, the passing of every front and bend from upstream, both sides of each. `lows`
// has one entry a segment. COST: about (bends + 2 instants) a segment, some nanoseconds each; no exponential
// but one a tap where the root is constant. Bends are instants where flow splits otherwise than before:
// starts and ends of runs; with walls, all. REQUIRES: time_s.front() <= judge_from_s <= judge_to_s <=
// time_s.back(); lows.size() == segments.
void LowestResiduals(const Branch& branch, const BranchDrive& drive, double judge_from_s, double judge_to_s,
                     const Kinetics& kinetics, TransportWorkspace& workspace, std::span<TapLow> lows);
std::vector<TapLow> LowestResiduals(const Branch& branch, const BranchDrive& drive, double judge_from_s,
                                    double judge_to_s, const Kinetics& kinetics = {});

// What is at a tap at one moment. At the moment a front passes, the younger side: what is drawn next.
struct TapWater {
  double mg_per_l = 0;
  double entered_s = 0;     // when it entered at the root; time_s[0] if it was in the branch then
  double age_s = 0;         // time - entered_s, at least
  bool is_initial = false;  // it was in the branch at time_s[0]
};

// The water at one tap at given times.
// COST: one pass over instants and times for each segment on the way.
// REQUIRES: tap < segments; times_s ascending, within the drive.
std::vector<TapWater> WaterAt(const Branch& branch, const BranchDrive& drive, std::size_t tap,
                              std::span<const double> times_s, const Kinetics& kinetics = {});

// The residual alone [mg/L], for a chart; size of times_s.
std::vector<double> ResidualsAt(const Branch& branch, const BranchDrive& drive, std::size_t tap,
                                std::span<const double> times_s, const Kinetics& kinetics = {});

// The way the water at one tap and time has come.
struct WaterPath {
  TapWater water;
  // When it entered segment 0, 1, ... tap; for water that was in segment j at the start, time_s[0] in entries
  // 0 to j.
  std::vector<double> entered_segment_s;
  std::vector<double> log_loss;  // lost in each of them, -ln of the share left
};

// REQUIRES: tap < segments; time within the drive.
WaterPath TraceBack(const Branch& branch, const BranchDrive& drive, std::size_t tap, double time_s,
                    const Kinetics& kinetics = {});

}  // namespace lastreach
