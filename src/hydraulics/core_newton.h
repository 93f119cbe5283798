#pragma once

#include <chrono>
#include <optional>
#include <span>
#include <vector>

#include "hydraulics/core_matrix.h"
#include "hydraulics/core_patch.h"
#include "hydraulics/core_problem.h"
#include "hydraulics/core_solve.h"

namespace lastreach {

// Adds the wall time of its own life to a sum.
class Stopwatch {
 public:
  explicit Stopwatch(double& sum_s) : sum_s_(sum_s), start_(std::chrono::steady_clock::now()) {}
  ~Stopwatch() { sum_s_ += std::chrono::duration<double>(std::chrono::steady_clock::now() - start_).count(); }
  Stopwatch(const Stopwatch&) = delete;
  Stopwatch& operator=(const Stopwatch&) = delete;

 private:
  double& sum_s_;
  std::chrono::steady_clock::time_point start_;
};

// The steps of core_solve.h, for valves and pushes that stay as they are. Heads and flows are the core's own.
// core_newton.cc has the laws and how far to step, core_step.cc the step, core_chords.cc the slopes of the
// first ones, core_follow.cc and core_spread.cc the way from one answer to another near it, core_nearly.cc
// where that need not be exact.
class CoreNewton {
 public:
  CoreNewton(Core& core, const CoreOptions& options, CoreOutcome& outcome);

  // Takes demands as they are now.
  void ReadDemands();
  // Takes the states of the core's valves and which links are out as they are now.
  void ReadValves();
  // True where every link and node is settled.
  bool Settle();
  // Whether the last answer is one to follow changes from.
  bool CanFollow() const;
  // Settles after a change that is small beside what was settled last; the core has it already. Where this
  // is false the core is left somewhere on the way, and Settle is to go on.
  bool Follow(const CoreChange& change);
  // Forgets heads, flows and pushes.
  void BeginAnew();

  bool Holds(size_t link) const { return role_[link] == Role::kHolds; }
  // What the heads at its ends differ from the loss of the flow; 0 of a link that holds a head or is out.
  double Residual_m(size_t link) const {
    return role_[link] == Role::kLaw ? drive_m_[link] - loss_m_[link] : 0;
  }

 private:
  // Followed links that are nearer to settled than this share of what is allowed keep their slopes of before.
  static constexpr double kNearlySettled = 0.3;
  enum class Role : char { kLaw, kHolds, kOut };
  struct Bend {
    bool is_there, is_strong, is_by_law;  // by law: strong whatever the age of the slope
  };

  bool IsTooMuch(size_t link, double residual_m) const;
  bool IsOff(size_t link) const { return IsTooMuch(link, Residual_m(link)); }
  bool IsSettled() const;
  void EvaluateLaws(double share);
  void EvaluateChains(size_t first, std::span<const double> chain_flow_m3_per_s, std::span<double> loss_m,
                      std::span<double> slope_s_per_m2);
  double SlopeOfContent() const;
  double ShareOfStep(double slope_at_start);
  void TakeStep(double share);
  void TakeGuessAsStraight();
  void Polish();
  bool FindStepForAll();
  bool FindStepForNodes();

  bool ComputeStep();
  void ChooseConductances();
  void FindRight(std::span<const double> conductance_m2_per_s);
  void StepByOwnFactor();
  double ChangeSinceFactor() const;
  bool StepByOldFactor();
  void Drives(std::span<const double> head_m, std::span<double> drive_m) const;
  double Multiply(std::span<const double> head_m, std::span<double> net_m3_per_s);
  void AddBorder();

  void FindMiddle(size_t chain);
  void FindChords();
  void FindDrivenFlows();

  void MakePatch();
  void TakeIn(const CoreChange& change);
  void EvaluateSpecials();
  bool OpenPatch(const CoreChange& change);
  void AnswerAsBefore();
  bool FactorAsTheyAre();
  Bend WouldBend(size_t link) const;
  bool FindBent();

  void LayOutPatch();
  bool SettleWithPatch();
  bool SettlePatch();
  bool StepInside();
  bool IsPatchSettled() const;
  void Correct();
  void AnswerWithin();
  void Send(uint32_t node);
  void SendWithin();
  void ClearAnswer(std::span<const uint32_t> reach);
  void MoveLinksByAnswer();
  void MoveHeadsByAnswer();
  void Spread();

  bool SettleNearly();
  void FindMisses();
  void FindOwing();
  void AnswerOwing();
  void AnswerMisses();

  Core& core_;
  const CoreOptions& options_;
  CoreOutcome& outcome_;
  CoreMatrix matrix_;
  std::vector<double> row_flow_m3_per_s_, row_loss_m_, row_slope_s_per_m2_;  // size pipes
  // Size chains: flows of a trial; flows that the heads would drive, their losses and slopes.
  std::vector<double> trial_m3_per_s_, driven_m3_per_s_, driven_loss_m_, driven_slope_s_per_m2_;
  std::vector<double> friction_, middle_m3_per_s_;  // size chains: of all its pipes; see FindMiddle
  // Size links: head at `from` less head at `to` and what the step adds to it, loss and slope of the flow.
  std::vector<double> drive_m_, drive_step_m_, loss_m_, slope_s_per_m2_;
  std::vector<double> conductance_m2_per_s_, factored_m2_per_s_;  // size links: of this step; of the factor
  std::vector<double> step_m3_per_s_;                             // size links
  // Size all nodes, with 0 where fixed: steps of heads, net inflows, search directions.
  std::vector<double> head_step_m_, right_, left_m_, towards_m_, net_m3_per_s_;
  std::vector<Role> role_;  // size links
  std::vector<const CoreValve*> holding_;
  bool has_factor_ = false;
  bool factor_passes_shut_ = false;  // it has conductance where a link is out
  bool factor_is_own_ = false;       // of the last step's conductances
  bool balanced_ = false;
  bool begins_flat_ = true;
  bool disappoints_ = false;  // the old factor
  bool uses_chords_ = false;

  // core_follow.cc, core_spread.cc. Size all nodes, 0 between calls but for `missing`: net inflow missing,
  // that which was sent through the old factor, by what heads have risen for it, and heads that answer.
  std::optional<CorePatch> patch_;
  std::vector<double> missing_m3_per_s_, sent_m3_per_s_, risen_m_, answer_m_;
  std::vector<uint32_t> owing_, sent_from_;     // nodes where some may be missing; have been
  std::vector<uint32_t> reach_, far_reach_;     // fronts: of the patch, of all that was sent
  std::vector<uint32_t> bent_, strongly_bent_;  // links
  bool slopes_are_old_ = false;                 // of the factor: most of the bent are so for that alone
  bool laws_are_current_ = false;               // drives, losses and slopes are those of heads and flows
};

}  // namespace lastreach
