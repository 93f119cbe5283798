#include "quality/transport.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace lastreach {
namespace {

// The greatest loss of some breakpoints, the first of them that has it, and the greatest age.
struct Worst {
  double log_loss = -1;
  double age_s = 0;
  const Breakpoint* point = nullptr;
};

Worst FindWorst(std::span<const Breakpoint> points) {
  constexpr std::size_t kLanes = 4;  // so that one comparison need not wait for the last
  std::array<double, kLanes> loss, age;
  loss.fill(-1);
  age.fill(0);
  std::size_t m = 0;
  for (; m + kLanes <= points.size(); m += kLanes) {
    for (std::size_t lane = 0; lane < kLanes; ++lane) {
      const Breakpoint& point = points[m + lane];
      loss[lane] = std::max(loss[lane], point.log_loss);
      age[lane] = std::max(age[lane], point.time_s - point.entered_s);
    }
  }
  for (; m < points.size(); ++m) {
    loss[0] = std::max(loss[0], points[m].log_loss);
    age[0] = std::max(age[0], points[m].time_s - points[m].entered_s);
  }
  Worst worst{*std::max_element(loss.begin(), loss.end()), *std::max_element(age.begin(), age.end())};
  for (const Breakpoint& point : points) {
    if (point.log_loss != worst.log_loss) continue;
    worst.point = &point;
    break;
  }
  return worst;
}

double RootAt(const FlowHistory& flows, double time) {
  const std::span<const double> time_s = flows.time_s();
  const auto above = std::upper_bound(time_s.begin() + 1, time_s.end() - 1, time);
  const auto i = static_cast<std::size_t>(above - time_s.begin()) - 1;
  const double share = (time - time_s[i]) / (time_s[i + 1] - time_s[i]);
  return flows.root_mg_per_l()[i] + share * (flows.root_mg_per_l()[i + 1] - flows.root_mg_per_l()[i]);
}

void Lower(double mg_per_l, double when_s, TapLow& low) {
  if (mg_per_l >= low.lowest_mg_per_l) return;
  low.lowest_mg_per_l = mg_per_l;
  low.when_s = when_s;
}

void JudgeFromMovingRoot(std::span<const Breakpoint> points, const FlowHistory& flows, TapLow& low) {
  // Only water that would be lowest had it entered at the root's least can be lowest at all.
  const double least = flows.root_least_mg_per_l();
  double enough_loss = std::log(least / low.lowest_mg_per_l);
  for (const Breakpoint& point : points) {
    if (point.log_loss <= enough_loss) continue;
    const double mg_per_l = RootAt(flows, point.entered_s) * std::exp(-point.log_loss);
    if (mg_per_l >= low.lowest_mg_per_l) continue;
    Lower(mg_per_l, point.time_s, low);
    enough_loss = std::log(least / mg_per_l);
  }
}

TapLow Judge(const Passage& passage, const FlowHistory& flows, double initial_mg_per_l, double from_s,
             double to_s) {
  const auto begin = passage.points.begin();
  const auto first =
      std::lower_bound(begin, passage.points.end(), from_s,
                       [](const Breakpoint& point, double time) { return point.time_s < time; });
  const auto last =
      std::upper_bound(first, passage.points.end(), to_s,
                       [](double time, const Breakpoint& point) { return time < point.time_s; });
  const auto parting = std::clamp(begin + static_cast<std::ptrdiff_t>(passage.initial), first, last);
  const std::span<const Breakpoint> initial(first, parting);
  const std::span<const Breakpoint> from_root(parting, last);

  TapLow low{.lowest_mg_per_l = std::numeric_limits<double>::infinity(),
             .saw_initial_water = !initial.empty()};
  // Of water that all started alike, the lowest is what has lost most.
  if (!initial.empty()) {
    const Worst worst = FindWorst(initial);
    Lower(initial_mg_per_l * std::exp(-worst.log_loss), worst.point->time_s, low);
    low.greatest_age_s = worst.age_s;
  }
  if (!from_root.empty()) {
    const Worst worst = FindWorst(from_root);
    low.greatest_age_s = std::max(low.greatest_age_s, worst.age_s);
    if (flows.root_least_mg_per_l() == flows.root_greatest_mg_per_l()) {
      Lower(flows.root_least_mg_per_l() * std::exp(-worst.log_loss), worst.point->time_s, low);
    } else {
      JudgeFromMovingRoot(from_root, flows, low);
    }
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
  const std::span<const SegmentInstant> instants = segment.instants();
  const std::size_t steps = flows.steps();
  while (out + 1 < steps && instants[out + 1].time_s <= followed.time_s) ++out;
  const double lost = segment.LogLossAt(followed.time_s, out);
  const double entered = instants[out].volume_m3 +
                         instants[out].flow_m3_per_s * (followed.time_s - instants[out].time_s) -
                         segment.segment_volume_m3();
  if (entered < -segment.sliver_m3()) {
    followed = {instants[0].time_s, followed.log_loss + lost, true};
    return;
  }
  while (in + 1 < steps && instants[in + 1].volume_m3 <= entered + segment.sliver_m3()) ++in;
  const double since = std::max(0.0, (entered - instants[in].volume_m3) * instants[in].seconds_per_m3);
  followed.time_s = std::min(instants[in].time_s + since, followed.time_s);
  followed.log_loss += lost - (instants[in].log_loss + instants[in].loss_per_s * since);
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
  w.flows.BuildForWindow(branch, drive, judge_from_s, judge_to_s, kinetics);
  w.breakpoints = 0;
  PassRoot(w.flows, w.inlet);
  for (std::size_t j = 0; j < branch.segments.size(); ++j) {
    w.segment.Build(w.flows, branch.segments[j], j);
    w.bends.clear();
    if (j > 0) w.segment.MarkBends(w.flows, w.upstream, w.bends);
    PassSegment(w.segment, w.bends, w.inlet, w.entries, w.outlet);
    w.breakpoints += w.outlet.points.size();
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
  flows.Build(branch, drive, kinetics);
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
  flows.Build(branch, drive, kinetics);
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
