#include "hydraulics/core_newton.h"

#include <algorithm>
#include <cmath>

namespace lastreach {
namespace {

constexpr int kMostChords = 7;
constexpr int kMaxStepsOfOneState = 60;
// Heads of 1,000 m have a last digit of 1e-13 m; nothing finer can be asked of their differences.
constexpr double kRounding_m = 1e-12;

std::vector<std::pair<uint32_t, uint32_t>> EndsOf(const Core& core) {
  std::vector<std::pair<uint32_t, uint32_t>> ends;
  for (const CoreLink& link : core.links) ends.emplace_back(link.from, link.to);
  return ends;
}

}  // namespace

CoreNewton::CoreNewton(Core& core, const CoreOptions& options, CoreOutcome& outcome)
    : core_(core),
      options_(options),
      outcome_(outcome),
      matrix_(core.unknowns, EndsOf(core)),
      row_flow_m3_per_s_(core.pipes.size()),
      row_loss_m_(core.pipes.size()),
      row_slope_s_per_m2_(core.pipes.size()),
      loss_m_(core.links.size()),
      slope_s_per_m2_(core.links.size()),
      conductance_m2_per_s_(core.links.size()),
      step_m3_per_s_(core.links.size()),
      head_step_m_(core.head_m.size()) {}

void CoreNewton::ReadValves() {
  role_.assign(core_.links.size(), Role::kLaw);
  holding_.clear();
  for (size_t i = core_.Chains(); i < core_.links.size(); ++i) {
    if (!core_.LawOf(i).is_out) continue;
    role_[i] = Role::kOut;
    core_.flow_m3_per_s[i] = 0;
  }
  for (const CoreValve& valve : core_.valves) {
    if (valve.state != ValveState::kHolding || role_[valve.link] == Role::kOut) continue;
    role_[valve.link] = Role::kHolds;
    holding_.push_back(&valve);
  }
}

// Where a state wanted the impossible, heads and pushes have run away; nothing of them is worth keeping.
void CoreNewton::BeginAnew() {
  core_.flow_m3_per_s = core_.guess_m3_per_s;
  balanced_ = false;
  std::fill(core_.head_m.begin(), core_.head_m.begin() + core_.unknowns, 0);
  for (LinkLaw& law : core_.laws) law.push_up_m = law.push_down_m = 0;
}

void CoreNewton::EvaluateChains(double share) {
  for (size_t chain = 0; chain < core_.Chains(); ++chain) {
    const double flow = core_.flow_m3_per_s[chain] + share * step_m3_per_s_[chain];
    for (size_t row = core_.row_begin[chain]; row < core_.row_begin[chain + 1]; ++row) {
      row_flow_m3_per_s_[row] = flow - core_.drawn_m3_per_s[row];
    }
  }
  core_.pipes.Evaluate(row_flow_m3_per_s_, row_loss_m_, row_slope_s_per_m2_);
  for (size_t chain = 0; chain < core_.Chains(); ++chain) {
    double loss_m = 0, slope_s_per_m2 = 0;
    for (size_t row = core_.row_begin[chain]; row < core_.row_begin[chain + 1]; ++row) {
      loss_m += row_loss_m_[row];
      slope_s_per_m2 += row_slope_s_per_m2_[row];
    }
    loss_m_[chain] = loss_m;
    slope_s_per_m2_[chain] = slope_s_per_m2;
  }
}

void CoreNewton::EvaluateLaws(double share) {
  const Stopwatch watch(outcome_.laws_s);
  EvaluateChains(share);
  for (size_t i = core_.Chains(); i < core_.links.size(); ++i) {
    if (role_[i] != Role::kLaw) continue;
    const LossAndSlope loss = LossOf(core_.LawOf(i), core_.flow_m3_per_s[i] + share * step_m3_per_s_[i]);
    loss_m_[i] = loss.head_m;
    slope_s_per_m2_[i] = loss.slope_s_per_m2;
  }
}

// Along the step, with the heads it leads to: their part is the same for any heads, as the step keeps mass.
double CoreNewton::SlopeOfContent() const {
  double slope = 0;
  for (size_t i = 0; i < step_m3_per_s_.size(); ++i) slope -= step_m3_per_s_[i] * Residual_m(i);
  return slope;
}

bool CoreNewton::IsSettled() const {
  for (size_t i = 0; i < core_.links.size(); ++i) {
    const double residual_m = std::abs(Residual_m(i));
    if (!(residual_m <= options_.head_tolerance_m)) return false;
    if (residual_m > std::max(kRounding_m, options_.flow_tolerance_m3_per_s * slope_s_per_m2_[i]))
      return false;
  }
  return true;
}

// How much of the step to take; leaves the laws evaluated there.
double CoreNewton::ShareOfStep(double slope_at_start) {
  constexpr double kEnough = 0.5;
  constexpr int kMostTrials = 40;
  EvaluateLaws(1);
  double high_slope = SlopeOfContent();
  if (!balanced_ || high_slope <= kEnough * std::abs(slope_at_start) || IsSettled()) return 1;
  double low = 0, high = 1;
  double low_slope = slope_at_start;
  double share = 1;
  for (int i = 0; i < kMostTrials; ++i) {
    const double chord = low - low_slope * (high - low) / (high_slope - low_slope);
    const double width = high - low;
    share = i % 2 == 0 ? std::clamp(chord, low + 0.01 * width, high - 0.01 * width) : low + width / 2;
    EvaluateLaws(share);
    const double slope = SlopeOfContent();
    if (std::abs(slope) <= kEnough * std::abs(slope_at_start)) break;
    (slope < 0 ? low : high) = share;
    (slope < 0 ? low_slope : high_slope) = slope;
  }
  return share;
}

bool CoreNewton::Settle() {
  std::fill(step_m3_per_s_.begin(), step_m3_per_s_.end(), 0);
  EvaluateLaws(0);
  uses_chords_ = false;
  const int last = std::min(options_.max_iterations, outcome_.iterations + kMaxStepsOfOneState);
  for (int step = 0; outcome_.iterations < last; ++step) {
    ++outcome_.iterations;
    if (!ComputeStep()) return false;
    double slope_at_start = 0;
    for (size_t i = 0; i < core_.head_m.size(); ++i) core_.head_m[i] += head_step_m_[i];
    for (size_t i = 0; i < step_m3_per_s_.size(); ++i) slope_at_start -= step_m3_per_s_[i] * Residual_m(i);
    const double share = ShareOfStep(slope_at_start);
    for (size_t i = 0; i < step_m3_per_s_.size(); ++i) core_.flow_m3_per_s[i] += share * step_m3_per_s_[i];
    balanced_ = balanced_ || share == 1;
    // Near the answer, or where a step was too long, Newton's own slope is the better one.
    uses_chords_ = share == 1 && step < kMostChords;
    if (share == 1 && IsSettled()) {
      Polish();
      return true;
    }
  }
  return false;
}

}  // namespace lastreach
