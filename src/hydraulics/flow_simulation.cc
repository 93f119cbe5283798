#include "hydraulics/flow_simulation.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <limits>

#include "core/quantity.h"
#include "hydraulics/level_step.h"
#include "hydraulics/link_rules.h"
#include "hydraulics/steady_solver.h"
#include "hydraulics/supply_schedule.h"
#include "hydraulics/tank_levels.h"

namespace lastreach {
namespace {

constexpr double kSameTime_s = 1e-6;   // nearer than this is one moment; no stretch is shorter
constexpr double kShortestStep_s = 1;  // the error of a level is not made smaller by less
constexpr double kShortestReport_s = 1e-3;
constexpr int kMostTries = 20;  // of one step

double SecondsSince(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

}  // namespace

class FlowSimulation::Impl {
 public:
  Impl(const Network& network, const FlowSimulationOptions& options, SupplySchedule schedule,
       std::vector<LevelTank> tanks, LinkRules rules, SteadySolver solver)
      : options_(options),
        end_s_(options.hours * kSecondsPerHour),
        schedule_(std::move(schedule)),
        tanks_(std::move(tanks)),
        rules_(std::move(rules)),
        solver_(std::move(solver)),
        account_(network),
        supply_(schedule_.Begin()),
        trial_s_(options.longest_step_s),
        inflow_m3_per_s_(tanks_.size()),
        start_inflow_m3_per_s_(tanks_.size()),
        solved_levels_m_(tanks_.size()),
        tank_volume_m3_(network.nodes.size()) {
    if (!tanks_.empty()) supply_.tank_gate.assign(network.nodes.size(), TankGate::kFree);
    supply_.shut = rules_.shut();
  }

  Result<bool> Next(FlowPeriod& period) {
    if (at_s_ >= stretch_end_s_) {
      if (at_s_ >= end_s_) return false;
      const auto start = std::chrono::steady_clock::now();
      if (Status begun = BeginStretch(); !begun.ok()) return begun.error();
      account_.AddWallTime(SecondsSince(start));
    }
    for (size_t i = 0; i < tanks_.size(); ++i) {
      const double taken_m3 = inflow_m3_per_s_[i] * (at_s_ - stretch_begin_s_);
      tank_volume_m3_[At(tanks_[i].node)] = std::max(0.0, tanks_[i].volume_m3 + taken_m3);
    }
    const double end_s = std::min(stretch_end_s_, NextReport_s());
    period = {at_s_, end_s, state_->flow_m3_per_s, state_->outflow_m3_per_s, state_->head_m, tank_volume_m3_};
    at_s_ = end_s;
    account_.AddPeriod(end_s);
    return true;
  }

  const FlowSimulationSummary& summary() const { return account_.summary(); }

 private:
  Status BeginStretch();
  void TakeEvents();
  Status StepTanks(double event_s);
  Status SolveAtLevels(double after_s);
  double NextReport_s() const;

  FlowSimulationOptions options_;
  double end_s_;
  SupplySchedule schedule_;
  std::vector<LevelTank> tanks_;  // at the begin of the stretch
  LinkRules rules_;
  SteadySolver solver_;
  FlowSimulationAccount account_;
  Supply supply_;

  double at_s_ = 0;  // up to here periods have been handed out
  double stretch_begin_s_ = 0;
  double stretch_end_s_ = 0;
  double trial_s_;                             // step the tanks are likely to stand
  const SteadyState* state_ = nullptr;         // of the solver; the last solved
  bool is_state_of_supply_ = false;            // but for levels
  std::vector<double> inflow_m3_per_s_;        // size tanks; in state_
  std::vector<double> start_inflow_m3_per_s_;  // size tanks; at the begin of the stretch
  std::vector<double> solved_levels_m_;        // size tanks; of state_
  std::vector<double> tank_volume_m3_;         // size nodes
};

double FlowSimulation::Impl::NextReport_s() const {
  if (options_.report_step_s == 0) return stretch_end_s_;
  double cut_s = (std::floor(at_s_ / options_.report_step_s) + 1) * options_.report_step_s;
  if (cut_s - at_s_ < kSameTime_s) cut_s += options_.report_step_s;
  return stretch_end_s_ - cut_s < kSameTime_s ? stretch_end_s_ : cut_s;
}

void FlowSimulation::Impl::TakeEvents() {
  if (schedule_.Update(at_s_, supply_)) is_state_of_supply_ = false;
  if (rules_.Fire(at_s_, tanks_)) {
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

Status FlowSimulation::Impl::BeginStretch() {
  for (size_t i = 0; i < tanks_.size(); ++i) {
    tanks_[i].volume_m3 += inflow_m3_per_s_[i] * (stretch_end_s_ - stretch_begin_s_);
  }
  stretch_begin_s_ = at_s_;
  TakeEvents();
  const size_t solved = summary().solves;
  const double event_s = std::min({end_s_, schedule_.NextChange_s(at_s_), rules_.NextHour_s(at_s_)});
  if (Status stepped = StepTanks(event_s); !stepped.ok()) return stepped;
  if (event_s - stretch_end_s_ < kSameTime_s) stretch_end_s_ = event_s;
  if (summary().solves == solved) account_.AddReuse();
  account_.AddStretch(*state_, supply_, stretch_begin_s_, stretch_end_s_);
  return Ok();
}

// The state at the levels that start_inflow_m3_per_s_ leads to after so long, unless it is the last one.
Status FlowSimulation::Impl::SolveAtLevels(double after_s) {
  bool is_known = is_state_of_supply_;
  for (size_t i = 0; i < tanks_.size(); ++i) {
    const LevelTank& tank = tanks_[i];
    const double level_m = std::clamp(tank.level_m() + start_inflow_m3_per_s_[i] * after_s / tank.area_m2,
                                      tank.min_level_m, tank.max_level_m);
    is_known = is_known && std::abs(level_m - solved_levels_m_[i]) < options_.still_level_m;
    supply_.fixed_head_m[At(tank.node)] = tank.elevation_m + level_m;
  }
  if (is_known) return Ok();
  for (const bool again : {false, true}) {
    const auto start = std::chrono::steady_clock::now();
    const auto state = solver_.Solve(supply_);
    if (!state.ok()) return state.error();
    state_ = *state;
    account_.AddSolve(state_->summary, SecondsSince(start));
    if (again || state_->summary.status != SolveStatus::kDidNotConverge) break;
    solver_.Forget();
  }
  is_state_of_supply_ = true;
  for (size_t i = 0; i < tanks_.size(); ++i) {
    const LevelTank& tank = tanks_[i];
    solved_levels_m_[i] = supply_.fixed_head_m[At(tank.node)] - tank.elevation_m;
    inflow_m3_per_s_[i] = state_->outflow_m3_per_s[At(tank.node)];
  }
  return Ok();
}

Status FlowSimulation::Impl::StepTanks(double event_s) {
  stretch_end_s_ = event_s;
  if (Status solved = SolveAtLevels(0); !solved.ok() || tanks_.empty()) return solved;
  start_inflow_m3_per_s_ = inflow_m3_per_s_;
  const double to_event_s = event_s - at_s_;
  double longest_s = to_event_s / std::ceil(to_event_s / std::min(options_.longest_step_s, trial_s_) - 1e-9);
  double step_s = longest_s;
  bool aims_at_mark = false;
  for (int tries = 0;; ++tries) {
    if (Status solved = SolveAtLevels(step_s / 2); !solved.ok()) return solved;
    const double error_m = LevelError_m(tanks_, {start_inflow_m3_per_s_, inflow_m3_per_s_}, step_s);
    if (error_m > options_.level_tolerance_m && step_s > kShortestStep_s && tries < kMostTries) {
      step_s *= std::clamp(0.9 * std::sqrt(options_.level_tolerance_m / error_m), 0.1, 0.8);
      step_s = longest_s = trial_s_ = std::max(step_s, kShortestStep_s);
      aims_at_mark = false;
      continue;
    }
    const double mark_s = std::max(FirstMark_s(tanks_, inflow_m3_per_s_), kSameTime_s);
    if (!aims_at_mark && mark_s >= step_s) break;
    // The mark is where the flows of the middle lead to: of the middle of the way there.
    const double wanted_s = std::min(mark_s, longest_s);
    const double off_m = GreatestMove_m(tanks_, start_inflow_m3_per_s_, std::abs(wanted_s - step_s) / 2);
    step_s = wanted_s;
    if (off_m < options_.still_level_m || tries >= kMostTries) break;
    aims_at_mark = true;
  }
  if (!aims_at_mark && step_s >= trial_s_ * 0.99) trial_s_ = std::min(2 * trial_s_, options_.longest_step_s);
  stretch_end_s_ = at_s_ + step_s;
  return Ok();
}

FlowSimulation::FlowSimulation(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}
FlowSimulation::~FlowSimulation() = default;
FlowSimulation::FlowSimulation(FlowSimulation&&) noexcept = default;
FlowSimulation& FlowSimulation::operator=(FlowSimulation&&) noexcept = default;

Result<FlowSimulation> FlowSimulation::Make(const Network& network, const FlowSimulationOptions& options) {
  const auto is_above_0 = [](double x) { return x > 0 && std::isfinite(x); };
  if (!is_above_0(options.hours)) return BadRequest("the hours to simulate must be above 0");
  if (!is_above_0(options.longest_step_s)) return BadRequest("the longest step must be above 0");
  if (!is_above_0(options.level_tolerance_m)) return BadRequest("the tolerance of levels must be above 0");
  if (!(options.still_level_m >= 0)) return BadRequest("a level that counts as still must be 0 or more");
  if (options.report_step_s != 0 && !(options.report_step_s >= kShortestReport_s)) {
    return BadRequest("the step of the report must be a millisecond or more, or 0 for none");
  }
  auto schedule = SupplySchedule::Make(network);
  if (!schedule.ok()) return schedule.error();
  auto tanks = LevelTanksOf(network);
  if (!tanks.ok()) return tanks.error();
  auto rules = LinkRules::Make(network, *tanks);
  if (!rules.ok()) return rules.error();
  auto solver = SteadySolver::Make(network, options.core);
  if (!solver.ok()) return solver.error();
  return FlowSimulation(std::make_unique<Impl>(network, options, *std::move(schedule), *std::move(tanks),
                                               *std::move(rules), *std::move(solver)));
}

Result<bool> FlowSimulation::Next(FlowPeriod& period) { return impl_->Next(period); }
const FlowSimulationSummary& FlowSimulation::summary() const { return impl_->summary(); }

}  // namespace lastreach
