#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <span>
#include <unordered_map>
#include <vector>

#include "quality/branch.h"
#include "quality/kinetics.h"
#include "quality/still_water.h"

namespace lastreach {

// What passes a stretch of the branch for the device at the end and for side draws, all but the taps' own.
struct CarriedFlow {
  std::vector<double> flow_m3_per_s;  // size steps
  std::vector<double> volume_m3;      // integral from time_s[0], size steps + 1
  // size steps + 1: the demand factor and this flow change otherwise than in step
  std::vector<uint8_t> ratio_changes;
  // Steps with the same pair of demand factor and flow share a class, so that the wall formulas are worked
  // out once a class and not once a step. Only where some wall is active.
  std::vector<uint32_t> class_of_step;  // size steps
  std::vector<uint32_t> step_of_class;  // one step of each class
};

// The drive of a branch summed up over time, on its own steps plus any extra instants asked for. Everything
// the transport functions need of the flows, worked out once; SegmentHistory then takes one segment's share.
// Buffers are kept between calls, so one object serves thousands of drives without allocating.
// THREADS: one object, one thread.
class FlowHistory {
 public:
  // REQUIRES, for both: CheckBranch and CheckDrive hold.
  void Build(const Branch& branch, const BranchDrive& drive, const Kinetics& kinetics);
  // Only what the water met at any tap in [from_s, to_s] has seen: from the last instant before the oldest of
  // it entered, to to_s. Both ends of the window become instants. All of the drive up to to_s where some of
  // that water was in the branch at the start. REQUIRES: time_s.front() <= from_s <= to_s <= time_s.back().
  void BuildForWindow(const Branch& branch, const BranchDrive& drive, double from_s, double to_s,
                      const Kinetics& kinetics);

  std::size_t steps() const { return factor_.size(); }
  std::span<const double> time_s() const { return time_s_; }                               // size steps + 1
  std::span<const double> demand_factor() const { return factor_; }                        // size steps
  std::span<const double> end_flow_m3_per_s() const { return carried_[0].flow_m3_per_s; }  // size steps
  std::span<const double> root_mg_per_l() const { return root_; }                          // size steps + 1
  double root_least_mg_per_l() const { return root_least_; }
  double root_greatest_mg_per_l() const { return root_greatest_; }
  // The still-water table of a Biot number, kept from call to call.
  std::shared_ptr<const StillWater> Still(double biot);
  // Demand of the taps at and beyond the downstream end of segment j, D_j [m3/s].
  double demand_beyond_m3_per_s(std::size_t segment) const { return beyond_[segment]; }

 private:
  friend class SegmentHistory;

  // Which of the carried flows each segment has.
  void RankSideDraws(const Branch& branch, const BranchDrive& drive);
  void ReadDrive(const BranchDrive& drive, std::span<const double> extra_s);
  void SumUp(const Branch& branch);
  void SumUpCarried(CarriedFlow& carried, bool is_first);
  const CarriedFlow& CarriedBy(std::size_t segment) const { return carried_[carried_by_[segment]]; }
  std::size_t LastInstantBeforeAllMet(const Branch& branch, double from_s) const;
  void KeepOnly(std::size_t first, std::size_t last);

  std::vector<double> time_s_, factor_, bulk_factor_, root_;
  std::vector<double> factor_sum_s_, bulk_sum_s_;  // integrals from time_s[0], size steps + 1
  // First the device's at the end alone, then with each side draw added, the last on the way first.
  std::vector<CarriedFlow> carried_;
  std::vector<std::size_t> draw_order_;  // of the side draws
  std::vector<std::size_t> carried_by_;  // of each segment, index into carried_
  std::vector<double> beyond_;
  double root_least_ = 0, root_greatest_ = 0;
  Kinetics kinetics_;
  std::unordered_map<double, std::shared_ptr<const StillWater>> still_;  // by Biot number, the latest

  void SortIntoClasses(const Branch& branch);
  std::vector<uint32_t> order_;
};

// One segment at an instant of the drive, and what it does in the step that begins there. Kept together since
// the transport walks along the instants and needs all of it at each.
struct SegmentInstant {
  double time_s = 0;
  double volume_m3 = 0;       // what has entered since the start, A_j
  double log_loss = 0;        // what water in the segment has lost since, G_j
  double flow_m3_per_s = 0;   // in the step; 0 in the last instant, which begins none
  double seconds_per_m3 = 0;  // 1 / flow, infinite where still
  double loss_per_s = 0;      // in the step; the mean where still and the wall is active
};

// One segment's flow and loss through time. A_j and G_j are linear within a step, except G_j where the
// segment stands still and its wall is active; water neither enters nor leaves then, so that nothing is asked
// of it inside such a step but by LogLossAt.
class SegmentHistory {
 public:
  void Build(FlowHistory& flows, const BranchSegment& segment, std::size_t number);
  // Instants that a caller has worked out who has the sums of many drives at hand; it gets older ones back to
  // fill again. LogLossAt and MarkBends may not be asked then.
  void Take(double segment_volume_m3, std::vector<SegmentInstant>& instants);
  // What sliver_m3() is for a segment that so much has passed.
  static double Sliver_m3(double segment_volume_m3, double passed_m3);

  double segment_volume_m3() const { return segment_volume_; }
  std::span<const SegmentInstant> instants() const { return instants_; }  // size steps + 1

  // Volumes closer than this are the same water, and what is thinner is not judged: 1e-9 of the segment, or
  // what rounding leaves uncertain in the sums if that is more.
  double sliver_m3() const { return sliver_; }

  // G_j at a time within step `step`.
  double LogLossAt(double time, std::size_t step) const;

  // bends[i] (size steps + 1) = 1 where the history of the water at this segment's inlet, as a function of
  // the volume entered, may bend at time_s[i] on account of the step there; where 0, that instant need not be
  // carried on as a breakpoint. `upstream` is the segment before.
  void MarkBends(const FlowHistory& flows, const SegmentHistory& upstream, std::vector<uint8_t>& bends) const;

 private:
  void AddWall(FlowHistory& flows, const CarriedFlow& carried);

  BranchSegment segment_;
  std::size_t carried_ = 0;  // index into the history's carried flows
  double demand_beyond_ = 0;
  double segment_volume_ = 0, sliver_ = 0;
  std::vector<SegmentInstant> instants_;
  std::vector<double> class_rate_;
  std::shared_ptr<const StillWater> still_;
  double fourier_per_s_ = 0;
  std::vector<double>
      rest_since_s_;                // size steps, only where the wall is active: when the water came to rest
  std::vector<double> bulk_per_s_;  // size steps, likewise: loss_per_s without the wall
};

}  // namespace lastreach
