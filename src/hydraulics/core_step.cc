#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "hydraulics/core_newton.h"

namespace lastreach {
namespace {

// A link that holds a head has this slope in the matrix, so that its two ends stay joined there; the border
// takes it out again.
constexpr double kHoldingSlope_s_per_m2 = 1;
constexpr double kNoMass_m3_per_s = 1e-13;

// A valve whose stream returns to it by other ways cannot move the head it should hold; what rounding leaves
// there of its effect, beside the head it takes to drive the stream, must not be divided by.
void ForgetRounding(const Core& core, const std::vector<const CoreValve*>& holding,
                    const Eigen::MatrixXd& answer, Eigen::MatrixXd& border) {
  constexpr double kShare = 1e-9;
  for (Eigen::Index k = 0; k < border.cols(); ++k) {
    const CoreLink& link = core.links[holding[static_cast<size_t>(k)]->link];
    const double from_m = link.from < core.unknowns ? answer(link.from, k) : 0;
    const double to_m = link.to < core.unknowns ? answer(link.to, k) : 0;
    const double least = kShare * std::abs(to_m - from_m);
    border.col(k) = border.col(k).unaryExpr([&](double x) { return std::abs(x) < least ? 0.0 : x; });
  }
}

}  // namespace

void CoreNewton::ChooseConductances() {
  for (size_t i = 0; i < core_.links.size(); ++i) conductance_m2_per_s_[i] = 1 / slope_s_per_m2_[i];
  for (size_t i = core_.Chains(); i < core_.links.size(); ++i) {
    if (role_[i] == Role::kOut) conductance_m2_per_s_[i] = 0;
    if (role_[i] == Role::kHolds) conductance_m2_per_s_[i] = 1 / kHoldingSlope_s_per_m2;
  }
  if (uses_chords_) FindChords();
}

// m + N G r, into right_; G r, into step_m3_per_s_. Once mass balances it stays so but for rounding, which
// the last step takes away.
void CoreNewton::FindRight(std::span<const double> conductance) {
  std::fill(right_.begin(), right_.end(), 0);
  if (!balanced_) {
    for (size_t i = 0; i < core_.unknowns; ++i) right_[i] = -core_.demand_m3_per_s[i];
  }
  const double kept = balanced_ ? 0 : 1;
  for (size_t i = 0; i < core_.links.size(); ++i) {
    const double flow = conductance[i] * Residual_m(i);
    step_m3_per_s_[i] = flow;
    const double all = flow + kept * core_.flow_m3_per_s[i];
    right_[core_.links[i].from] -= all;
    right_[core_.links[i].to] += all;
  }
  std::fill(right_.begin() + core_.unknowns, right_.end(), 0);
}

bool CoreNewton::ComputeStep() {
  ChooseConductances();
  FindRight(conductance_m2_per_s_);
  constexpr double kMostChange = 0.15;
  const bool may_serve = has_factor_ && !factor_passes_shut_ && !disappoints_ && holding_.empty() &&
                         ChangeSinceFactor() < kMostChange;
  factor_is_own_ = !(may_serve && StepByOldFactor());
  if (!factor_is_own_) return true;
  {
    const Stopwatch watch(outcome_.factor_s);
    ++outcome_.factorisations;
    has_factor_ = matrix_.Factor(conductance_m2_per_s_);
    factored_m2_per_s_ = conductance_m2_per_s_;
  }
  if (!has_factor_) return false;
  StepByOwnFactor();
  return true;
}

// Adds to step_m3_per_s_ what the heads that answer right_ drive, those of holding valves with it.
void CoreNewton::StepByOwnFactor() {
  const Stopwatch watch(outcome_.backsolve_s);
  std::copy(right_.begin(), right_.end(), head_step_m_.begin());
  matrix_.Solve({head_step_m_.data(), core_.unknowns});
  if (!holding_.empty()) AddBorder();
  Drives(head_step_m_, drive_step_m_);
  for (size_t i = 0; i < core_.links.size(); ++i)
    step_m3_per_s_[i] += factored_m2_per_s_[i] * drive_step_m_[i];
}

// Each holding valve passes y more than its slope says. Heads are linear in all the y; find those that put
// the held nodes at their settings. Two valves on one node have no one answer: the least flows are taken.
void CoreNewton::AddBorder() {
  const auto count = static_cast<Eigen::Index>(holding_.size());
  const auto unknowns = static_cast<Eigen::Index>(core_.unknowns);
  Eigen::MatrixXd answer = Eigen::MatrixXd::Zero(unknowns, count);
  for (Eigen::Index k = 0; k < count; ++k) {
    const CoreLink& link = core_.links[holding_[static_cast<size_t>(k)]->link];
    if (link.from < core_.unknowns) answer(link.from, k) -= 1;
    if (link.to < core_.unknowns) answer(link.to, k) += 1;
    matrix_.Solve({answer.col(k).data(), core_.unknowns});
  }
  Eigen::MatrixXd border(count, count);
  Eigen::VectorXd missing(count);
  for (Eigen::Index k = 0; k < count; ++k) {
    const CoreValve& valve = *holding_[static_cast<size_t>(k)];
    border.row(k) = answer.row(valve.node);
    missing(k) = valve.set_head_m - core_.head_m[valve.node] - head_step_m_[valve.node];
  }
  ForgetRounding(core_, holding_, answer, border);
  const Eigen::VectorXd extra = border.completeOrthogonalDecomposition().solve(missing);
  const Eigen::VectorXd more = answer * extra;
  for (Eigen::Index i = 0; i < unknowns; ++i) head_step_m_[static_cast<size_t>(i)] += more(i);
  for (Eigen::Index k = 0; k < count; ++k) step_m3_per_s_[holding_[static_cast<size_t>(k)]->link] += extra(k);
}

// What is left at links and nodes is small, and one more answer of the last factor takes most of it away. A
// factor that knows nothing of where the links are now is asked for the nodes alone.
void CoreNewton::Polish() {
  if (!(factor_is_own_ && FindStepForAll()) && !FindStepForNodes()) return;
  for (size_t i = 0; i < core_.unknowns; ++i) core_.head_m[i] += head_step_m_[i];
  for (size_t i = 0; i < step_m3_per_s_.size(); ++i) core_.flow_m3_per_s[i] += step_m3_per_s_[i];
}

// True where it leaves every link within what is asked of it: not where a link's slope is far from that of
// the factor, as after its flow has turned.
bool CoreNewton::FindStepForAll() {
  balanced_ = false;
  FindRight(factored_m2_per_s_);
  balanced_ = true;
  StepByOwnFactor();
  for (size_t i = 0; i < core_.links.size(); ++i) {
    if (role_[i] != Role::kLaw) continue;
    const double left = (1 - slope_s_per_m2_[i] * factored_m2_per_s_[i]) * (Residual_m(i) + drive_step_m_[i]);
    if (IsTooMuch(i, left)) return false;
  }
  return true;
}

// True where something is missing at any node.
bool CoreNewton::FindStepForNodes() {
  drive_m_ = loss_m_;
  balanced_ = false;
  FindRight(factored_m2_per_s_);
  balanced_ = true;
  const auto is_missing = [](double missing) { return std::abs(missing) > kNoMass_m3_per_s; };
  if (std::none_of(right_.begin(), right_.end(), is_missing)) return false;
  StepByOwnFactor();
  return true;
}

}  // namespace lastreach
