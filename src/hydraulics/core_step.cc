#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "hydraulics/core_newton.h"

namespace lastreach {
namespace {

// A link that holds a head has this slope in the matrix, so that its two ends stay joined there; the border
// takes it out again.
constexpr double kHoldingSlope_s_per_m2 = 1;

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

void CoreNewton::FindNetInflow() {
  right_.assign(core_.unknowns, 0);
  for (size_t i = 0; i < core_.unknowns; ++i) right_[i] = -core_.demand_m3_per_s[i];
  for (size_t i = 0; i < core_.links.size(); ++i) {
    const CoreLink& link = core_.links[i];
    const double flow = core_.flow_m3_per_s[i];
    if (link.from < core_.unknowns) right_[link.from] -= flow;
    if (link.to < core_.unknowns) right_[link.to] += flow;
  }
}

// Newton's slope brings a flow that goes to nothing only halfway there at each step. Once heads mean
// something, the chord to the flow that they would drive by themselves brings it all the way.
double CoreNewton::SlopeForStep(size_t i) const {
  if (role_[i] == Role::kHolds) return kHoldingSlope_s_per_m2;
  const bool is_one_pipe = i < core_.Chains() && core_.row_begin[i + 1] == core_.row_begin[i] + 1;
  if (!uses_chords_ || !is_one_pipe) return slope_s_per_m2_[i];
  const CoreLink& link = core_.links[i];
  const double drive_m = core_.head_m[link.from] - core_.head_m[link.to];
  return ChordOf(core_.pipes[core_.row_begin[i]], core_.flow_m3_per_s[i], {loss_m_[i], slope_s_per_m2_[i]},
                 drive_m);
}

bool CoreNewton::ComputeStep() {
  for (size_t i = 0; i < core_.links.size(); ++i) {
    conductance_m2_per_s_[i] = role_[i] == Role::kOut ? 0 : 1 / SlopeForStep(i);
  }
  {
    const Stopwatch watch(outcome_.factor_s);
    if (!matrix_.Factor(conductance_m2_per_s_)) return false;
  }
  StepByFactor();
  return true;
}

void CoreNewton::StepByFactor() {
  FindNetInflow();
  for (size_t i = 0; i < core_.links.size(); ++i) {
    const CoreLink& link = core_.links[i];
    const double flow = conductance_m2_per_s_[i] * Residual_m(i);
    step_m3_per_s_[i] = flow;
    if (link.from < core_.unknowns) right_[link.from] -= flow;
    if (link.to < core_.unknowns) right_[link.to] += flow;
  }
  SolveLinear();
}

// Adds to step_m3_per_s_ what the heads that answer right_ drive, those of holding valves with it.
void CoreNewton::SolveLinear() {
  const Stopwatch watch(outcome_.backsolve_s);
  matrix_.Solve(right_);
  std::copy(right_.begin(), right_.end(), head_step_m_.begin());
  if (!holding_.empty()) AddBorder();
  for (size_t i = 0; i < core_.links.size(); ++i) {
    const CoreLink& link = core_.links[i];
    step_m3_per_s_[i] += conductance_m2_per_s_[i] * (head_step_m_[link.from] - head_step_m_[link.to]);
  }
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

// What is left at links and nodes is small, and one more answer of the last factor takes most of it away.
void CoreNewton::Polish() {
  StepByFactor();
  for (size_t i = 0; i < core_.head_m.size(); ++i) core_.head_m[i] += head_step_m_[i];
  for (size_t i = 0; i < step_m3_per_s_.size(); ++i) core_.flow_m3_per_s[i] += step_m3_per_s_[i];
}

}  // namespace lastreach
