#pragma once

#include <cstddef>
#include <memory>
#include <span>
#include <vector>

#include "quality/branch.h"
#include "quality/cell_column.h"
#include "quality/exchange_solver.h"
#include "quality/kinetics.h"
#include "quality/still_water.h"

namespace lastreach {

struct DispersionOptions {
  bool along_the_pipe = true;  // false: plug flow in the same cells, for comparison
  bool exchange_at_root =
      false;  // true: the main beyond the root stays at its residual whatever spreads back
  // Change accuracy: both errors fall with the square. A cell smears a front over about its own length, once
  // a segment and not with the way travelled.
  double cell_length_m = 1;
  double longest_step_s = 60;
};

// The worst that was met at one tap.
struct DispersedLow {
  double lowest_mg_per_l = 0;
  double when_s = 0;  // of the lowest residual, the first time if several
  double greatest_age_s = 0;
};

// What moves the water for a while: every tap on its own.
struct DispersedStep {
  double seconds = 0;
  std::span<const double> draw_m3_per_s{};  // size segments, tap j at the downstream end of segment j
  double end_flow_m3_per_s = 0;             // the device
  double bulk_factor = 1;
  double root_mg_per_l = 0, root_after_mg_per_l = 0;  // at begin and end of the step, linear between
};

// Transport of the disinfectant and of the mean age along a branch, with dispersion along the pipe:
//
//   d(A C)/dt + d(Q C)/dx = d/dx (A E dC/dx) - A k C,   and for the age the same with a source of 1.
//
// E = U m in laminar flow, where each water carries how far it was sheared since it entered the pipe
// (ShearedLength_m), 10.1 a u* in turbulent flow, which also makes an end of what was sheared, and 0 at rest:
// molecular diffusion alone spreads a front by a centimetre in a day.
//
// Cells of water move with the flow, so that nothing disperses by number as the water travels; between two
// half moves the exchange between neighbours is solved for all cells of the branch together, implicitly, in
// two stages of second order; loss and age are exact in each cell. Where the two stages would leave the range
// of what was there, the step is done over in one of first order, which cannot.
//
// ERROR: what the branch holds is of second order in cell_length_m and longest_step_s away from fronts, of
// first order with exchange_at_root; what is read at a tap is the mean of the cell next to it, of first order
// in the cell. All measured in the test. Mass closes to 1e-9 of what entered. A residual is never below 0 nor
// above what was there or came in.
// COST: about 0.15 microseconds a cell and step; steps are also short enough that no segment passes more than
// it holds. THREADS: one object, one thread. REQUIRES: CheckBranch(branch) holds; lengths and steps above 0.
class DispersedBranch {
 public:
  DispersedBranch(const Branch& branch, const DispersionOptions& options, const Kinetics& kinetics,
                  double initial_mg_per_l);

  // REQUIRES: seconds > 0, draw of size segments, all flows and residuals >= 0.
  void Advance(const DispersedStep& step);
  // All of a drive, from its initial residual on if nothing moved yet. REQUIRES: CheckDrive(drive) holds.
  void AdvanceAlong(const BranchDrive& drive);

  double now_s() const { return now_s_; }
  std::size_t segments() const { return columns_.size(); }
  // What would be drawn at a tap now.
  double residual_mg_per_l(std::size_t tap) const { return columns_[tap].outlet().mg_per_l; }
  double age_s(std::size_t tap) const { return columns_[tap].outlet().age_s; }
  // The water of a segment, from its outlet on.
  std::span<const WaterCell> cells(std::size_t segment) const { return columns_[segment].cells(); }

  // Forgets what was met at the taps and judges from now on. Lows are over all that stood at a tap at the
  // begin of the span or the end of a step, or passed it.
  void BeginSpan();
  std::span<const DispersedLow> lows() const { return lows_; }

  // As MassAccount, with what entered by dispersion against the flow at the root counted as entered.
  double held_g() const;
  double held_at_start_g() const { return held_at_start_g_; }
  double entered_g() const { return entered_g_; }
  double left_g() const { return left_g_; }
  double decayed_g() const { return decayed_g_; }

 private:
  void SetFlows(const DispersedStep& step);
  double LongestStep_s() const;
  void AgeAndLose(double seconds, double bulk_factor);
  void Move(double seconds, double root_mg_per_l);
  void Disperse(double seconds, double root_mg_per_l);
  void Judge(std::size_t tap, const WaterCell& water);

  std::vector<BranchSegment> segments_;
  DispersionOptions options_;
  Kinetics kinetics_;
  std::vector<CellColumn> columns_;
  std::vector<double> flow_m3_per_s_;                     // size segments
  std::vector<double> wall_per_s_;                        // likewise, of the flow as it is
  std::vector<double> rest_s_;                            // likewise: how long it has stood
  std::vector<double> turbulent_m2_per_s_;                // likewise; 0 where the flow is laminar
  std::vector<std::shared_ptr<const StillWater>> still_;  // size segments; none without a wall
  std::vector<DispersedLow> lows_;
  ExchangeSolver exchange_;
  std::vector<double> mg_per_l_, age_s_;  // of all cells, for the exchange
  double now_s_ = 0;
  double held_at_start_g_ = 0, entered_g_ = 0, left_g_ = 0, decayed_g_ = 0;
};

}  // namespace lastreach
