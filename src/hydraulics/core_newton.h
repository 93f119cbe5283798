#pragma once

#include <chrono>
#include <vector>

#include "hydraulics/core_matrix.h"
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
// core_newton.cc has the laws and how far to step, core_step.cc the step.
class CoreNewton {
 public:
  CoreNewton(Core& core, const CoreOptions& options, CoreOutcome& outcome);

  // Takes the states of the core's valves and which links are out as they are now.
  void ReadValves();
  // True where every link and node is settled.
  bool Settle();
  // Forgets heads, flows and pushes.
  void BeginAnew();
  // Demands have changed.
  void ForgetBalance() { balanced_ = false; }

  bool Holds(size_t link) const { return role_[link] == Role::kHolds; }
  // What the heads at its ends differ from the loss of the flow; 0 of a link that holds a head or is out.
  double Residual_m(size_t link) const {
    if (role_[link] != Role::kLaw) return 0;
    return core_.head_m[core_.links[link].from] - core_.head_m[core_.links[link].to] - loss_m_[link];
  }

 private:
  enum class Role : char { kLaw, kHolds, kOut };

  bool IsSettled() const;
  void EvaluateLaws(double share);
  void EvaluateChains(double share);
  double SlopeOfContent() const;
  double ShareOfStep(double slope_at_start);
  void FindNetInflow();
  bool ComputeStep();
  void StepByFactor();
  double SlopeForStep(size_t link) const;
  void SolveLinear();
  void AddBorder();
  void Polish();

  Core& core_;
  const CoreOptions& options_;
  CoreOutcome& outcome_;
  CoreMatrix matrix_;
  std::vector<double> row_flow_m3_per_s_, row_loss_m_, row_slope_s_per_m2_;  // size pipes
  std::vector<double> loss_m_;                                               // size links, as those below
  std::vector<double> slope_s_per_m2_;
  std::vector<double> conductance_m2_per_s_;
  std::vector<double> step_m3_per_s_;
  std::vector<double> head_step_m_;  // size all nodes; 0 where fixed
  std::vector<double> right_;        // size unknowns: m3/s, then m
  std::vector<Role> role_;           // size links
  std::vector<const CoreValve*> holding_;
  bool balanced_ = false;
  bool uses_chords_ = false;
};

}  // namespace lastreach
