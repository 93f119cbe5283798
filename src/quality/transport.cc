#include "quality/transport.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace lastreach {
namespace {

// Breakpoints of a passage that lie in the window, [first, last).
struct Judged {
  std::size_t first, last;
};

Judged InWindow(const Passage& passage, double from_s, double to_s) {
  const auto begin = passage.time_s.begin();
  const auto first = std::lower_bound(begin, passage.time_s.end(), from_s);
  const auto last = std::upper_bound(first, passage.time_s.end(), to_s);
  return {static_cast<std::size_t>(first - begin), static_cast<std::size_t>(last - begin)};
}

double RootAt(const FlowHistory& flows, double time) {
  const std::span<const double> time_s = flows.time_s();
  const auto above = std::upper_bound(time_s.begin() + 1, time_s.end() - 1, time);
  const auto i = static_cast<std::size_t>(above - time_s.begin()) - 1;
  const double share = (time - time_s[i]) / (time_s[i + 1] - time_s[i]);
  return flows.root_mg_per_l()[i] + share * (flows.root_mg_per_l()[i + 1] - flows.root_mg_per_l()[i]);
}

// Of water that all started alike, the lowest is what has lost most.
void JudgeAlike(const Passage& passage, std::size_t first, std::size_t last, double started_mg_per_l,
                TapLow& low) {
  std::size_t worst = first;
  for (std::size_t m = first; m < last; ++m) {
    if (passage.log_loss[m] > passage.log_loss[worst]) worst = m;
  }
  if (first == last) return;
  const double mg_per_l = started_mg_per_l * std::exp(-passage.log_loss[worst]);
  if (mg_per_l < low.lowest_mg_per_l) {
    low.lowest_mg_per_l = mg_per_l;
    low.when_s = passage.time_s[worst];
  }
}

void JudgeFromRoot(const Passage& passage, std::size_t first, std::size_t last, const FlowHistory& flows,
                   TapLow& low) {
  const double least = flows.root_least_mg_per_l();
  if (least == flows.root_greatest_mg_per_l()) return JudgeAlike(passage, first, last, least, low);
  // Only water that would be lowest had it entered at the root's least can be lowest at all.
  double enough_loss = std::log(least / low.lowest_mg_per_l);
  for (std::size_t m = first; m < last; ++m) {
    if (passage.log_loss[m] <= enough_loss) continue;
    const double mg_per_l = RootAt(flows, passage.entered_s[m]) * std::exp(-passage.log_loss[m]);
    if (mg_per_l >= low.lowest_mg_per_l) continue;
    low.lowest_mg_per_l = mg_per_l;
    low.when_s = passage.time_s[m];
    enough_loss = std::log(least / mg_per_l);
  }
}

TapLow Judge(const Passage& passage, const FlowHistory& flows, double initial_mg_per_l, double from_s,
             double to_s) {
  const Judged judged = InWindow(passage, from_s, to_s);
  const std::size_t parting = std::clamp(passage.initial, judged.first, judged.last);
  TapLow low{.lowest_mg_per_l = std::numeric_limits<double>::infinity()};
  low.saw_initial_water = parting > judged.first;
  JudgeAlike(passage, judged.first, parting, initial_mg_per_l, low);
  JudgeFromRoot(passage, parting, judged.last, flows, low);
  for (std::size_t m = judged.first; m < judged.last; ++m) {
    low.greatest_age_s = std::max(low.greatest_age_s, passage.time_s[m] - passage.entered_s[m]);
  }
  return low;
}

// Water followed back against the flow: where it is in time, and what it lost on the way so far.
struct Followed {
  double time_s;
  double log_loss = 0;
  bool is_initial = false;
};

// Moves water from the downstream end of a segment at followed.time_s to its upstream end. `out` and `in` are
// step hints that only move forward.
void FollowBack(const FlowHistory& flows, const SegmentHistory& segment, std::size_t& out, std::size_t& in,
                Followed& followed) {
  const std::span<const double> time_s = flows.time_s();
  const std::span<const double> volume = segment.volume_m3();
  const std::size_t steps = flows.steps();
  while (out + 1 < steps && time_s[out + 1] <= followed.time_s) ++out;
  const double lost = segment.LogLossAt(followed.time_s, out);
  const double entered = volume[out] + segment.flow_m3_per_s()[out] * (followed.time_s - time_s[out]) -
                         segment.segment_volume_m3();
  if (entered < -segment.sliver_m3()) {
    followed = {time_s[0], followed.log_loss + lost, true};
    return;
  }
  while (in + 1 < steps && volume[in + 1] <= entered + segment.sliver_m3()) ++in;
  const double since = std::max(0.0, (entered - volume[in]) * segment.seconds_per_m3()[in]);
  followed.time_s = std::min(time_s[in] + since, followed.time_s);
  followed.log_loss += lost - (segment.log_loss()[in] + segment.loss_per_s()[in] * since);
}

TapWater Arrived(const FlowHistory& flows, const BranchDrive& drive, const Followed& followed, double time) {
  const double started = followed.is_initial ? drive.initial_mg_per_l : RootAt(flows, followed.time_s);
  return {.mg_per_l = started * std::exp(-followed.log_loss),
          .entered_s = followed.time_s,
          .age_s = time - followed.time_s,
          .is_initial = followed.is_initial};
}

}  // namespace

void LowestResiduals(const Branch& branch, const BranchDrive& drive, double judge_from_s, double judge_to_s,
                     const Kinetics& kinetics, TransportWorkspace& workspace, std::span<TapLow> lows) {
  TransportWorkspace& w = workspace;
  const double window[] = {judge_from_s, judge_to_s};
  w.flows.Build(branch, drive, window, kinetics);
  w.breakpoints = 0;
  PassRoot(w.flows, w.inlet);
  for (std::size_t j = 0; j < branch.segments.size(); ++j) {
    w.segment.Build(w.flows, branch.segments[j], j);
    if (j > 0) {
      w.segment.MarkBends(w.upstream, w.bends);
      DropStraight(w.bends, w.inlet);
    }
    PassSegment(w.flows, w.segment, w.inlet, w.entered, w.outlet);
    w.breakpoints += w.outlet.size();
    lows[j] = Judge(w.outlet, w.flows, drive.initial_mg_per_l, judge_from_s, judge_to_s);
    std::swap(w.inlet, w.outlet);
    std::swap(w.segment, w.upstream);
  }
}

std::vector<TapLow> LowestResiduals(const Branch& branch, const BranchDrive& drive, double judge_from_s,
                                    double judge_to_s, const Kinetics& kinetics) {
  TransportWorkspace workspace;
  std::vector<TapLow> lows(branch.segments.size());
  LowestResiduals(branch, drive, judge_from_s, judge_to_s, kinetics, workspace, lows);
  return lows;
}

std::vector<TapWater> WaterAt(const Branch& branch, const BranchDrive& drive, std::size_t tap,
                              std::span<const double> times_s, const Kinetics& kinetics) {
  FlowHistory flows;
  flows.Build(branch, drive, {}, kinetics);
  std::vector<Followed> water;
  water.reserve(times_s.size());
  for (const double time : times_s) water.push_back({.time_s = time});
  SegmentHistory segment;
  for (std::size_t j = tap + 1; j-- > 0;) {
    segment.Build(flows, branch.segments[j], j);
    std::size_t out = 0;
    std::size_t in = 0;
    for (Followed& followed : water) {
      if (!followed.is_initial) FollowBack(flows, segment, out, in, followed);
    }
  }
  std::vector<TapWater> arrived;
  arrived.reserve(times_s.size());
  for (std::size_t m = 0; m < times_s.size(); ++m)
    arrived.push_back(Arrived(flows, drive, water[m], times_s[m]));
  return arrived;
}

std::vector<double> ResidualsAt(const Branch& branch, const BranchDrive& drive, std::size_t tap,
                                std::span<const double> times_s, const Kinetics& kinetics) {
  std::vector<double> residuals;
  residuals.reserve(times_s.size());
  for (const TapWater& water : WaterAt(branch, drive, tap, times_s, kinetics))
    residuals.push_back(water.mg_per_l);
  return residuals;
}

WaterPath TraceBack(const Branch& branch, const BranchDrive& drive, std::size_t tap, double time_s,
                    const Kinetics& kinetics) {
  FlowHistory flows;
  flows.Build(branch, drive, {}, kinetics);
  WaterPath path;
  path.entered_segment_s.assign(tap + 1, drive.time_s.front());
  path.log_loss.assign(tap + 1, 0);
  Followed followed{.time_s = time_s};
  SegmentHistory segment;
  for (std::size_t j = tap + 1; j-- > 0 && !followed.is_initial;) {
    segment.Build(flows, branch.segments[j], j);
    std::size_t out = 0;
    std::size_t in = 0;
    const double before = followed.log_loss;
    FollowBack(flows, segment, out, in, followed);
    path.entered_segment_s[j] = followed.time_s;
    path.log_loss[j] = followed.log_loss - before;
  }
  path.water = Arrived(flows, drive, followed, time_s);
  return path;
}

}  // namespace lastreach
