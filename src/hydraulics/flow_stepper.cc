#include "hydraulics/flow_stepper.h"

#include <algorithm>
#include <chrono>
#include <cmath>

#include "core/quantity.h"

namespace lastreach {
namespace {

constexpr double kSameTime_s = 1e-6;   // nearer than this is one moment; no stretch is shorter
constexpr double kShortestStep_s = 1;  // the error of a level is not made smaller by less
constexpr int kMostTries = 20;         // of one step

double SecondsSince(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

}  // namespace

Result<FlowStepper> FlowStepper::Make(const Network& network, const FlowSimulationOptions& options) {
  auto schedule = SupplySchedule::Make(network);
  if (!schedule.ok()) return schedule.error();
  auto tanks = LevelTanksOf(network);
  if (!tanks.ok()) return tanks.error();
  auto rules = LinkRules::Make(network, *tanks);
  if (!rules.ok()) return rules.error();
  auto solver = SteadySolver::Make(network, options.core);
  if (!solver.ok()) return solver.error();
  return FlowStepper(network, options, *std::move(schedule), *std::move(tanks), *std::move(rules),
                     *std::move(solver));
}

FlowStepper::FlowStepper(const Network& network, const FlowSimulationOptions& options,
                         SupplySchedule schedule, std::vector<LevelTank> tanks, LinkRules rules,
                         SteadySolver solver)
    : options_(options),
      last_s_(options.hours * kSecondsPerHour),
      schedule_(std::move(schedule)),
      tanks_(std::move(tanks)),
      rules_(std::move(rules)),
      solver_(std::move(solver)),
      account_(network),
      cache_(options.kept_states_bytes),
      supply_(schedule_.Begin()),
      trial_s_(options.longest_step_s),
      inflow_m3_per_s_(tanks_.size()),
      start_inflow_m3_per_s_(tanks_.size()),
      solved_levels_m_(tanks_.size()),
      rest_per_s_(tanks_.size()),
      shares_(tanks_.size()) {
  if (!tanks_.empty()) {
    supply_.tank_gate.assign(network.nodes.size(), TankGate::kFree);
    supply_.tank_rise_s_per_m2.assign(network.nodes.size(), 0);
  }
  supply_.shut = rules_.shut();
}

void FlowStepper::TakeEvents() {
  if (schedule_.Update(begin_s_, supply_)) is_state_of_supply_ = false;
  if (rules_.Fire(begin_s_, tanks_)) {
    supply_.shut = rules_.shut();
    is_state_of_supply_ = false;
  }
  for (const LevelTank& tank : tanks_) {
    TankGate& gate = supply_.tank_gate[At(tank.node)];
    if (gate == GateOf(tank)) continue;
    gate = GateOf(tank);
    is_state_of_supply_ = false;
  }
}

Status FlowStepper::Advance() {
  const auto start = std::chrono::steady_clock::now();
  for (size_t i = 0; i < tanks_.size(); ++i) tanks_[i].volume_m3 += inflow_m3_per_s_[i] * (end_s_ - begin_s_);
  begin_s_ = end_s_;
  TakeEvents();
  const size_t solved = account_.summary().solves;
  const double event_s = std::min({last_s_, schedule_.NextChange_s(begin_s_), rules_.NextHour_s(begin_s_)});
  if (Status stepped = StepTanks(event_s); !stepped.ok()) return stepped;
  if (event_s - end_s_ < kSameTime_s) end_s_ = event_s;
  if (account_.summary().solves == solved) account_.AddReuse();
  account_.AddStretch(*state_, supply_, begin_s_, end_s_);
  account_.AddWallTime(SecondsSince(start));
  return Ok();
}

Status FlowStepper::SolveStep(double step_s) {
  bool is_known = is_state_of_supply_;
  for (size_t i = 0; i < tanks_.size(); ++i) {
    const LevelTank& tank = tanks_[i];
    const double rise_s_per_m2 = shares_[i] * step_s / tank.area_m2;
    const double level_m = tank.level_m() + rise_s_per_m2 * inflow_m3_per_s_[i];
    is_known = is_known && std::abs(level_m - solved_levels_m_[i]) < options_.still_level_m;
    supply_.fixed_head_m[At(tank.node)] = tank.elevation_m + tank.level_m();
    supply_.tank_rise_s_per_m2[At(tank.node)] = rise_s_per_m2;
  }
  if (is_known) return Ok();
  if (Status solved = Solve(); !solved.ok()) return solved;
  is_state_of_supply_ = true;
  for (size_t i = 0; i < tanks_.size(); ++i) {
    const LevelTank& tank = tanks_[i];
    inflow_m3_per_s_[i] = state_->outflow_m3_per_s[At(tank.node)];
    solved_levels_m_[i] = tank.level_m() + shares_[i] * step_s / tank.area_m2 * inflow_m3_per_s_[i];
  }
  return Ok();
}

Status FlowStepper::SolveFittedStep(double step_s) {
  constexpr double kSameShare = 0.02;
  for (const bool again : {false, true}) {
    double off = 0;
    for (size_t i = 0; i < tanks_.size(); ++i) {
      const double share = ShareOfStep(rest_per_s_[i] * step_s);
      off = std::max(off, std::abs(share - shares_[i]));
      shares_[i] = share;
    }
    if (again && off < kSameShare) break;
    if (Status solved = SolveStep(step_s); !solved.ok()) return solved;
    if (!is_measured_) break;
    UpdateRest({start_inflow_m3_per_s_, inflow_m3_per_s_}, shares_, step_s, rest_per_s_);
  }
  return Ok();
}

// Where no level moves, what acts on the network is what the schedule and the rules say.
std::vector<double> FlowStepper::KeyOfState() const {
  std::vector<double> key = schedule_.Signature();
  for (size_t i = 0; i < supply_.shut.size(); ++i) {
    if (supply_.shut[i]) key.push_back(-1 - static_cast<double>(i));
  }
  return key;
}

Status FlowStepper::Solve() {
  const std::vector<double> key = tanks_.empty() ? KeyOfState() : std::vector<double>();
  if (tanks_.empty() && cache_.Find(key, supply_, kept_state_)) {
    state_ = &kept_state_;
    return Ok();
  }
  for (const bool again : {false, true}) {
    const auto start = std::chrono::steady_clock::now();
    const auto state = solver_.Solve(supply_);
    if (!state.ok()) return state.error();
    state_ = *state;
    account_.AddSolve(state_->summary, SecondsSince(start));
    if (again || state_->summary.status != SolveStatus::kDidNotConverge) break;
    solver_.Forget();
  }
  const bool may_come_again = tanks_.empty() && state_->summary.status != SolveStatus::kDidNotConverge;
  // As kept from the first, so that a day that comes again is the same day.
  if (may_come_again && cache_.Keep(key, supply_, *state_) && cache_.Find(key, supply_, kept_state_)) {
    state_ = &kept_state_;
  }
  return Ok();
}

bool FlowStepper::MustMeasure(double step_s) const {
  constexpr int kMostWithout = 8;
  if (since_measured_ == 0 || since_measured_ > kMostWithout) return true;
  const double fastest_per_s = *std::max_element(rest_per_s_.begin(), rest_per_s_.end());
  const double move_m = GreatestMove_m(tanks_, inflow_m3_per_s_, step_s);
  return fastest_per_s * step_s / 2 * move_m / 4 > options_.level_tolerance_m / 4;
}

Status FlowStepper::Measure() {
  if (Status solved = SolveStep(0); !solved.ok()) return solved;
  start_inflow_m3_per_s_ = inflow_m3_per_s_;
  is_measured_ = true;
  since_measured_ = 1;
  return Ok();
}

void FlowStepper::GuessStart(double step_s) {
  const double fastest_per_s = *std::max_element(rest_per_s_.begin(), rest_per_s_.end());
  for (size_t i = 0; i < tanks_.size(); ++i) {
    start_inflow_m3_per_s_[i] = inflow_m3_per_s_[i] * (1 + shares_[i] * step_s * fastest_per_s);
  }
}

bool FlowStepper::EndsWell(double longest_s, double& step_s, bool& aims_at_mark) const {
  const double mark_s = std::max(FirstMark_s(tanks_, inflow_m3_per_s_), kSameTime_s);
  if (!aims_at_mark && mark_s >= step_s) return true;
  // The flows that lead to the mark are those of the step that ends there.
  aims_at_mark = true;
  const double wanted_s = std::min(mark_s, longest_s);
  const double off_m = GreatestMove_m(tanks_, inflow_m3_per_s_, std::abs(wanted_s - step_s));
  step_s = wanted_s;
  return off_m < options_.still_level_m;
}

Status FlowStepper::StepTanks(double event_s) {
  end_s_ = event_s;
  if (tanks_.empty()) return SolveStep(0);
  const double to_event_s = event_s - begin_s_;
  const double steps = std::ceil(to_event_s / std::min(options_.longest_step_s, trial_s_) - 1e-9);
  double longest_s = to_event_s / std::max(steps, 1.0);
  double step_s = longest_s;
  double error_m = 0;
  bool aims_at_mark = false;
  bool must_measure = MustMeasure(step_s);
  is_measured_ = false;
  ++since_measured_;
  for (int tries = 0; tries < kMostTries; ++tries) {
    if (must_measure && !is_measured_) {
      if (Status measured = Measure(); !measured.ok()) return measured;
    }
    if (Status solved = SolveFittedStep(step_s); !solved.ok()) return solved;
    if (!is_measured_) GuessStart(step_s);
    error_m = LevelError_m(tanks_, {start_inflow_m3_per_s_, inflow_m3_per_s_}, step_s);
    if (error_m <= options_.level_tolerance_m / (is_measured_ ? 1 : 2) || step_s <= kShortestStep_s) {
      if (EndsWell(longest_s, step_s, aims_at_mark)) break;
      continue;
    }
    if (!is_measured_) {
      must_measure = true;
      continue;
    }
    step_s *= std::clamp(0.9 * std::sqrt(options_.level_tolerance_m / error_m), 0.1, 0.8);
    step_s = longest_s = trial_s_ = std::max(step_s, kShortestStep_s);
    aims_at_mark = false;
  }
  // The error goes with the square of the step.
  if (!aims_at_mark && error_m < options_.level_tolerance_m / 4) {
    trial_s_ = std::min(std::max(trial_s_, 2 * step_s), options_.longest_step_s);
  }
  end_s_ = begin_s_ + step_s;
  return Ok();
}

}  // namespace lastreach
