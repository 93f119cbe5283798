#pragma once

#include <array>
#include <cstdint>
#include <limits>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "plan/reach_model.h"
#include "plan/timeline.h"
#include "quality/flow_history.h"
#include "quality/passage.h"

namespace lastreach {

// The worst that is met at the judged places of a reach.
struct ReachLow {
  double mg_per_l = std::numeric_limits<double>::infinity();
  std::size_t judged = 0;    // which judged place, index into ReachModel::judged
  double when_s = 0;         // from the timeline's begin
  bool saw_initial = false;  // some of the water judged was in the reach at the begin
};

// A moment at one judged place.
struct ReachMoment {
  std::size_t judged = 0;
  double when_s = 0;
};

// A place and a time of a window, since its begin, where settings have failed.
struct ReachFailure {
  std::size_t judged = 0;
  double since_s = 0;
};

// One model of a reach made ready to be tried under many timelines: what its draw alone decides is worked out
// once. Segments past the last judged place are left out: what stands there is not judged, and flows short of
// it do not depend on it.
//
// The transport is that of LowestResiduals (quality/transport.h), exact, and agrees with it to rounding
// (ready_reach_test.cc); only what the drive's form here allows is saved: sums over time are shared by all
// draws, wall rates by all timelines.
// THREADS: one object, one thread.
class ReadyReach {
 public:
  // Buffers of the calls below, kept between calls and shared by many reaches.
  struct Workspace {
    std::vector<SegmentInstant> instants;
    SegmentHistory segment;
    Passage inlet, outlet;
    Entries entries;
    std::vector<uint8_t> bends;
    std::shared_ptr<FlowHistory> tables = std::make_shared<FlowHistory>();  // of standing water
    // Where settings failed last in each window and clock, and in which of them: the first places to look at.
    std::vector<std::optional<ReachFailure>> failures;
    std::size_t failed_last = 0;
  };

  explicit ReadyReach(const ReachModel& model);

  double upstream_mg_per_l() const { return upstream_mg_per_l_; }
  double slowest_loss_per_s() const { return slowest_loss_per_s_; }

  // Whether all water judged entered the reach after the timeline's begin.
  // COST: a binary search a segment.
  bool IsCovered(const Timeline& line) const { return FirstNeeded(line).has_value(); }

  // The lowest residual in the timeline's window. Water that was in the reach at the begin counts as having
  // nothing left. Once a place is below `enough_mg_per_l` those after it are not looked at.
  // COST: about that of LowestResiduals over the part of the timeline that the water judged has seen.
  ReachLow Lowest(const Timeline& line, Workspace& workspace, double enough_mg_per_l = 0);

  // No less than the residual 10 ms before one moment at one judged place: what standing water loses to
  // the wall is left out, and all loss where the water was in the reach at the begin. COST: a binary search
  // and the steps of its journey a segment, about a microsecond.
  double AtMostBefore(const Timeline& line, const ReachMoment& moment);

 private:
  // What a kind of step does to a segment.
  struct InStep {
    double flow_m3_per_s = -1;  // negative: not worked out yet
    double seconds_per_m3 = 0;
    double loss_per_s = 0;  // in the bulk and, while it flows, at the wall
  };
  struct Segment {
    BranchSegment pipe;
    double volume_m3 = 0;
    double beyond_m3_per_s = 0;  // average draws at and beyond its downstream end
    bool is_judged = false;
    std::size_t judged = 0;
    std::vector<double> beside_m3_per_s;  // what each device beside draws through it; empty if there is none
    std::vector<InStep> in_step;          // by Timeline::kind, as far as asked for
  };

  double Flow(const Segment& segment, uint32_t kind) const {
    double flow = segment.beyond_m3_per_s * kHouseholdHours[Timeline::HourOf(kind)] +
                  (Timeline::IsOpen(kind) ? flow_m3_per_s_ : 0);
    for (std::size_t b = 0; b < segment.beside_m3_per_s.size(); ++b) {
      if (Timeline::IsOpenBeside(kind, b)) flow += segment.beside_m3_per_s[b];
    }
    return flow;
  }
  double Passed(const Segment& segment, const Timeline& line, std::size_t instant) const {
    double passed =
        segment.beyond_m3_per_s * line.factor_sum_s[instant] + flow_m3_per_s_ * line.open_sum_s[instant];
    for (std::size_t b = 0; b < segment.beside_m3_per_s.size(); ++b) {
      passed += segment.beside_m3_per_s[b] * line.beside_sum_s[b][instant];
    }
    return passed;
  }
  const InStep& In(Segment& segment, uint32_t kind) const {
    if (kind < segment.in_step.size() && segment.in_step[kind].flow_m3_per_s >= 0)
      return segment.in_step[kind];
    return WorkOut(segment, kind);
  }
  const InStep& WorkOut(Segment& segment, uint32_t kind) const;
  double RootAt(const Timeline& line, double time_s) const;
  std::optional<std::size_t> FirstNeeded(const Timeline& line) const;
  void FillInstants(std::size_t segment, const Timeline& line, std::size_t first, Workspace& workspace);
  void MarkBends(std::size_t segment, const Timeline& line, std::size_t first,
                 std::vector<uint8_t>& bends) const;
  void Judge(std::size_t segment, const Timeline& line, const Passage& passage, ReachLow& low) const;

  std::vector<Segment> segments_;
  bool any_wall_ = false;
  std::optional<std::array<double, 24>> root_by_hour_;
  double root_least_mg_per_l_ = 0;
  Kinetics kinetics_;
  double flow_m3_per_s_ = 0, upstream_mg_per_l_ = 0, slowest_loss_per_s_ = 0;
};

}  // namespace lastreach
