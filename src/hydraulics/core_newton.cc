#include "hydraulics/core_newton.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace lastreach {
namespace {

constexpr int kMaxStepsOfOneState = 60;
// Heads of 1,000 m have a last digit of 1e-13 m; nothing finer can be asked of their differences.
constexpr double kRounding_m = 1e-12;

std::vector<LinkEnds> EndsOf(const Core& core) {
  std::vector<LinkEnds> ends;
  ends.reserve(core.links.size());
  for (const CoreLink& link : core.links) ends.emplace_back(link.from, link.to);
  return ends;
}

}  // namespace

CoreNewton::CoreNewton(Core& core, const CoreOptions& options, CoreOutcome& outcome)
    : core_(core), options_(options), outcome_(outcome), matrix_(core.unknowns, EndsOf(core)) {
  for (auto* column : {&row_flow_m3_per_s_, &row_loss_m_, &row_slope_s_per_m2_}) {
    column->resize(core.pipes.size());
  }
  for (auto* column : {&trial_m3_per_s_, &driven_m3_per_s_, &driven_loss_m_, &driven_slope_s_per_m2_,
                       &friction_, &middle_m3_per_s_}) {
    column->resize(core.Chains());
  }
  for (auto* column : {&drive_m_, &drive_step_m_, &loss_m_, &slope_s_per_m2_, &conductance_m2_per_s_,
                       &factored_m2_per_s_, &step_m3_per_s_}) {
    column->resize(core.links.size());
  }
  for (auto* column : {&head_step_m_, &right_, &left_m_, &towards_m_, &net_m3_per_s_}) {
    column->resize(core.head_m.size());
  }
}

void CoreNewton::ReadDemands() {
  balanced_ = false;
  if (core_.pipes.kind() != HeadLoss::kHazenWilliams) return;
  for (size_t chain = 0; chain < core_.Chains(); ++chain) FindMiddle(chain);
}

void CoreNewton::ReadValves() {
  role_.assign(core_.links.size(), Role::kLaw);
  holding_.clear();
  factor_passes_shut_ = false;
  for (size_t i = core_.Chains(); i < core_.links.size(); ++i) {
    if (!core_.LawOf(i).is_out) continue;
    role_[i] = Role::kOut;
    core_.flow_m3_per_s[i] = 0;
    factor_passes_shut_ = factor_passes_shut_ || factored_m2_per_s_[i] != 0;
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
  has_factor_ = false;
  begins_flat_ = true;
  std::fill(core_.head_m.begin(), core_.head_m.begin() + core_.unknowns, 0);
  for (LinkLaw& law : core_.laws) law.push_up_m = law.push_down_m = 0;
}

void CoreNewton::Drives(std::span<const double> head_m, std::span<double> drive_m) const {
  const CoreLink* links = core_.links.data();
  for (size_t i = 0; i < drive_m.size(); ++i) drive_m[i] = head_m[links[i].from] - head_m[links[i].to];
}

// Of the chains from `first` on.
void CoreNewton::EvaluateChains(size_t first, std::span<const double> chain_flow, std::span<double> loss,
                                std::span<double> slope) {
  const size_t single = core_.single_chains;
  for (size_t row = first; row < single; ++row) row_flow_m3_per_s_[row] = chain_flow[row];
  for (size_t chain = std::max(first, single); chain < core_.Chains(); ++chain) {
    for (size_t row = core_.row_begin[chain]; row < core_.row_begin[chain + 1]; ++row) {
      row_flow_m3_per_s_[row] = chain_flow[chain] - core_.drawn_m3_per_s[row];
    }
  }
  core_.pipes.EvaluateFrom(core_.row_begin[first], row_flow_m3_per_s_, row_loss_m_, row_slope_s_per_m2_);
  for (size_t row = first; row < single; ++row) {
    loss[row] = row_loss_m_[row];
    slope[row] = row_slope_s_per_m2_[row];
  }
  for (size_t chain = std::max(first, single); chain < core_.Chains(); ++chain) {
    double sum_m = 0, sum_s_per_m2 = 0;
    for (size_t row = core_.row_begin[chain]; row < core_.row_begin[chain + 1]; ++row) {
      sum_m += row_loss_m_[row];
      sum_s_per_m2 += row_slope_s_per_m2_[row];
    }
    loss[chain] = sum_m;
    slope[chain] = sum_s_per_m2;
  }
}

void CoreNewton::EvaluateLaws(double share) {
  const Stopwatch watch(outcome_.laws_s);
  for (size_t chain = 0; chain < core_.Chains(); ++chain) {
    trial_m3_per_s_[chain] = core_.flow_m3_per_s[chain] + share * step_m3_per_s_[chain];
  }
  EvaluateChains(0, trial_m3_per_s_, loss_m_, slope_s_per_m2_);
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

bool CoreNewton::IsTooMuch(size_t link, double residual_m) const {
  const double size_m = std::abs(residual_m);
  return !(size_m <= options_.head_tolerance_m) ||
         size_m > std::max(kRounding_m, options_.flow_tolerance_m3_per_s * slope_s_per_m2_[link]);
}

bool CoreNewton::IsSettled() const {
  for (size_t i = 0; i < core_.links.size(); ++i) {
    if (IsOff(i)) return false;
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

void CoreNewton::TakeStep(double share) {
  for (size_t i = 0; i < step_m3_per_s_.size(); ++i) core_.flow_m3_per_s[i] += share * step_m3_per_s_[i];
  balanced_ = balanced_ || share == 1;
  // Near the answer, or where a step was too long, Newton's own slope is the better one.
  uses_chords_ = share == 1 && core_.pipes.kind() == HeadLoss::kHazenWilliams;
}

// Nothing flows yet: the first step is that of straight laws, from no flow through the guess, whose direction
// then does not matter.
void CoreNewton::TakeGuessAsStraight() {
  begins_flat_ = false;
  for (size_t i = 0; i < core_.Chains(); ++i) {
    if (loss_m_[i] > 0) slope_s_per_m2_[i] = loss_m_[i] / core_.flow_m3_per_s[i];
  }
}

bool CoreNewton::Settle() {
  // An old factor whose step leaves the next one more than this of its energy does not serve.
  constexpr double kEnoughGained = 0.1;
  laws_are_current_ = false;
  owing_.clear();
  std::fill(missing_m3_per_s_.begin(), missing_m3_per_s_.end(), 0);
  std::fill(step_m3_per_s_.begin(), step_m3_per_s_.end(), 0);
  Drives(core_.head_m, drive_m_);
  std::fill(drive_step_m_.begin(), drive_step_m_.end(), 1e-9);
  EvaluateLaws(0);
  uses_chords_ = false;
  if (balanced_ && holding_.empty() && IsSettled()) return true;
  if (begins_flat_) TakeGuessAsStraight();
  double before = std::numeric_limits<double>::infinity();  // of a first step nothing is asked
  disappoints_ = false;
  const int last = std::min(options_.max_iterations, outcome_.iterations + kMaxStepsOfOneState);
  while (outcome_.iterations < last) {
    ++outcome_.iterations;
    if (!ComputeStep()) return false;
    for (size_t i = 0; i < core_.unknowns; ++i) core_.head_m[i] += head_step_m_[i];
    for (size_t i = 0; i < drive_m_.size(); ++i) drive_m_[i] += drive_step_m_[i];
    const double slope = SlopeOfContent();
    disappoints_ = !factor_is_own_ && std::abs(slope) > kEnoughGained * before;
    before = std::abs(slope);
    const double share = ShareOfStep(slope);
    TakeStep(share);
    if (share == 1 && IsSettled()) {
      Polish();
      return true;
    }
  }
  return false;
}

}  // namespace lastreach
