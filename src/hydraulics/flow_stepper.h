#pragma once

#include <span>
#include <vector>

#include "hydraulics/flow_simulation.h"
#include "hydraulics/level_step.h"
#include "hydraulics/link_rules.h"
#include "hydraulics/state_cache.h"
#include "hydraulics/steady_solver.h"
#include "hydraulics/supply_schedule.h"
#include "hydraulics/tank_levels.h"

namespace lastreach {

// The simulation as stretches of time over which flows stay as they are: events taken, tanks stepped, states
// solved. flow_simulation.h has the equation and cuts them for reports.
class FlowStepper {
 public:
  // ERROR: as FlowSimulation::Make. REQUIRES: options in range.
  static Result<FlowStepper> Make(const Network& network, const FlowSimulationOptions& options);

  bool IsAtEnd() const { return end_s_ >= last_s_; }
  // Goes on to the next stretch. REQUIRES: not at the end.
  Status Advance();

  double begin_s() const { return begin_s_; }
  double end_s() const { return end_s_; }
  const SteadyState& state() const { return *state_; }         // holds until the next stretch
  std::span<const LevelTank> tanks() const { return tanks_; }  // at the begin of the stretch
  double inflow_m3_per_s(size_t tank) const { return inflow_m3_per_s_[tank]; }
  FlowSimulationAccount& account() { return account_; }
  const FlowSimulationAccount& account() const { return account_; }

 private:
  FlowStepper(const Network& network, const FlowSimulationOptions& options, SupplySchedule schedule,
              std::vector<LevelTank> tanks, LinkRules rules, SteadySolver solver);
  void TakeEvents();
  // Finds how long the stretch is, at most until `event_s`, and its state.
  Status StepTanks(double event_s);
  // The state that stands for a step of such a length from here, unless it is the last one.
  Status SolveStep(double step_s);
  Status SolveFittedStep(double step_s);
  // Whether the flows at the start of a step must be solved to tell its error, or can be had from how fast
  // levels went to rest when that was last found.
  bool MustMeasure(double step_s) const;
  Status Measure();
  void GuessStart(double step_s);
  // Whether the first mark is further than the step, or the step goes there; else how long the next try is.
  bool EndsWell(double longest_s, double& step_s, bool& aims_at_mark) const;
  Status Solve();
  std::vector<double> KeyOfState() const;

  FlowSimulationOptions options_;
  double last_s_;
  SupplySchedule schedule_;
  std::vector<LevelTank> tanks_;
  LinkRules rules_;
  SteadySolver solver_;
  FlowSimulationAccount account_;
  StateCache cache_;
  SteadyState kept_state_;  // the last taken out of it
  Supply supply_;

  double begin_s_ = 0;
  double end_s_ = 0;
  double trial_s_;                      // step the tanks are likely to stand
  const SteadyState* state_ = nullptr;  // the last one solved, or kept_state_
  bool is_state_of_supply_ = false;     // but for levels
  bool is_measured_ = false;            // the start of this stretch
  int since_measured_ = 0;              // stretches; 0 before the first
  // Each of size tanks:
  std::vector<double> inflow_m3_per_s_;        // in state_
  std::vector<double> start_inflow_m3_per_s_;  // at the begin of the stretch
  std::vector<double> solved_levels_m_;        // of state_
  std::vector<double> rest_per_s_;             // how fast each goes to rest
  std::vector<double> shares_;                 // where in the step its flow is taken
};

}  // namespace lastreach
