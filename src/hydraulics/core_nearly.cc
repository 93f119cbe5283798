#include <algorithm>
#include <cmath>
#include <limits>

#include "hydraulics/core_newton.h"

namespace lastreach {

// What laws miss, all together and at the worst.
void CoreNewton::FindMisses() {
  double sum_m = 0, worst_m = 0;
  for (size_t i = 0; i < core_.links.size(); ++i) {
    const double miss_m = std::abs(Residual_m(i));
    sum_m += miss_m;
    worst_m = std::max(worst_m, miss_m);
  }
  outcome_.head_error_bound_m = sum_m;
  outcome_.worst_residual_m = worst_m;
}

// The change is answered by the slopes of before, at every node and link, so mass closes. Were every link to
// lose what its heads are apart, by r more than its law says, this would be the exact answer. To take all r
// away moves the head of a node by the sum of r times the share that the link has of a unit drawn at that
// node, in a network of the chords between the two answers; no share is more than 1. So no head is off by
// more than the sum of all |r|.
bool CoreNewton::SettleNearly() {
  constexpr int kMostRounds = 3;
  constexpr double kEnoughGained = 0.5;
  if (factor_passes_shut_) return false;
  if (!owing_.empty()) AnswerOwing();
  balanced_ = true;
  double before_m = std::numeric_limits<double>::infinity();
  for (int round = 0; round < kMostRounds; ++round) {
    ++outcome_.iterations;
    {
      const Stopwatch watch(outcome_.laws_s);
      EvaluateChains(0, core_.flow_m3_per_s, loss_m_, slope_s_per_m2_);
      EvaluateSpecials();
    }
    FindMisses();
    if (outcome_.head_error_bound_m <= options_.followed_head_error_m) {
      FindOwing();
      return true;
    }
    if (!(outcome_.head_error_bound_m < kEnoughGained * before_m)) break;
    before_m = outcome_.head_error_bound_m;
    AnswerMisses();
  }
  has_factor_ = false;  // its slopes do not serve here
  return false;
}

void CoreNewton::AnswerOwing() {
  AnswerAsBefore();
  for (const uint32_t node : owing_) missing_m3_per_s_[node] = 0;
  owing_.clear();
  MoveLinksByAnswer();
  MoveHeadsByAnswer();
}

// What laws are off is taken from the flows by the slopes as they are, and the mass that is then missing
// answered by those of before, so it closes again. This serves openings that open, whose first flow is a
// guess, more than pipes.
void CoreNewton::AnswerMisses() {
  for (size_t i = 0; i < core_.links.size(); ++i) conductance_m2_per_s_[i] = 1 / slope_s_per_m2_[i];
  FindRight(conductance_m2_per_s_);
  StepByOwnFactor();
  for (size_t i = 0; i < core_.unknowns; ++i) core_.head_m[i] += head_step_m_[i];
  for (size_t i = 0; i < core_.links.size(); ++i) {
    core_.flow_m3_per_s[i] += step_m3_per_s_[i];
    drive_m_[i] += drive_step_m_[i];
  }
}

// Answers in single precision leave a little missing; before that adds up it is owed with the next change.
void CoreNewton::FindOwing() {
  constexpr double kLittle_m3_per_s = 5e-10;
  std::fill(net_m3_per_s_.begin(), net_m3_per_s_.end(), 0);
  for (size_t i = 0; i < core_.links.size(); ++i) {
    net_m3_per_s_[core_.links[i].from] -= core_.flow_m3_per_s[i];
    net_m3_per_s_[core_.links[i].to] += core_.flow_m3_per_s[i];
  }
  double worst = 0;
  for (uint32_t i = 0; i < core_.unknowns; ++i) {
    net_m3_per_s_[i] -= core_.demand_m3_per_s[i];
    worst = std::max(worst, std::abs(net_m3_per_s_[i]));
  }
  outcome_.worst_missing_m3_per_s = worst;
  for (uint32_t i = 0; worst > kLittle_m3_per_s && i < core_.unknowns; ++i) {
    missing_m3_per_s_[i] = net_m3_per_s_[i];
    owing_.push_back(i);
  }
}

}  // namespace lastreach
