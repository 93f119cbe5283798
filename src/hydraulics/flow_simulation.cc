#include "hydraulics/flow_simulation.h"

#include <algorithm>
#include <cmath>

#include "hydraulics/flow_stepper.h"

namespace lastreach {
namespace {

constexpr double kSameTime_s = 1e-6;  // nearer than this is one moment
constexpr double kShortestReport_s = 1e-3;

}  // namespace

class FlowSimulation::Impl {
 public:
  Impl(FlowStepper stepper, size_t nodes, double report_step_s)
      : stepper_(std::move(stepper)), report_step_s_(report_step_s), tank_volume_m3_(nodes) {}

  Result<bool> Next(FlowPeriod& period) {
    if (at_s_ >= stepper_.end_s()) {
      if (stepper_.IsAtEnd()) return false;
      if (Status advanced = stepper_.Advance(); !advanced.ok()) return advanced.error();
    }
    for (size_t i = 0; i < stepper_.tanks().size(); ++i) {
      const LevelTank& tank = stepper_.tanks()[i];
      const double taken_m3 = stepper_.inflow_m3_per_s(i) * (at_s_ - stepper_.begin_s());
      tank_volume_m3_[At(tank.node)] = std::max(0.0, tank.volume_m3 + taken_m3);
    }
    const double end_s = std::min(stepper_.end_s(), NextReport_s());
    const SteadyState& state = stepper_.state();
    period = {at_s_, end_s, state.flow_m3_per_s, state.outflow_m3_per_s, state.head_m, tank_volume_m3_};
    at_s_ = end_s;
    stepper_.account().AddPeriod(end_s);
    return true;
  }

  const FlowSimulationSummary& summary() const { return stepper_.account().summary(); }

 private:
  double NextReport_s() const {
    if (report_step_s_ == 0) return stepper_.end_s();
    double cut_s = (std::floor(at_s_ / report_step_s_) + 1) * report_step_s_;
    if (cut_s - at_s_ < kSameTime_s) cut_s += report_step_s_;
    return stepper_.end_s() - cut_s < kSameTime_s ? stepper_.end_s() : cut_s;
  }

  FlowStepper stepper_;
  double report_step_s_;
  double at_s_ = 0;                     // up to here periods have been handed out
  std::vector<double> tank_volume_m3_;  // size nodes
};

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
  auto stepper = FlowStepper::Make(network, options);
  if (!stepper.ok()) return stepper.error();
  return FlowSimulation(
      std::make_unique<Impl>(*std::move(stepper), network.nodes.size(), options.report_step_s));
}

Result<bool> FlowSimulation::Next(FlowPeriod& period) { return impl_->Next(period); }
const FlowSimulationSummary& FlowSimulation::summary() const { return impl_->summary(); }

}  // namespace lastreach
