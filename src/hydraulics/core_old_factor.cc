#include <algorithm>
#include <cmath>

#include "hydraulics/core_newton.h"

namespace lastreach {
namespace {

double Dot(std::span<const double> a, std::span<const double> b) {
  double sum = 0;
  for (size_t i = 0; i < a.size(); ++i) sum += a[i] * b[i];
  return sum;
}

}  // namespace

// A x of this step's conductances, into `net`; gives x' A x.
double CoreNewton::Multiply(std::span<const double> head, std::span<double> net) {
  std::fill(net.begin(), net.end(), 0);
  double energy = 0;
  for (size_t i = 0; i < core_.links.size(); ++i) {
    const CoreLink& link = core_.links[i];
    const double drive = head[link.from] - head[link.to];
    const double flow = conductance_m2_per_s_[i] * drive;
    energy += flow * drive;
    net[link.from] += flow;
    net[link.to] -= flow;
  }
  std::fill(net.begin() + core_.unknowns, net.end(), 0);
  return energy;
}

// How much the conductances have changed since they were factored, weighed by where the last step went;
// cheaper than to try. Large where there was no step.
double CoreNewton::ChangeSinceFactor() const {
  double changed = 0, all = 0;
  for (size_t i = 0; i < core_.links.size(); ++i) {
    const double square = drive_step_m_[i] * drive_step_m_[i];
    changed += std::abs(conductance_m2_per_s_[i] - factored_m2_per_s_[i]) * square;
    all += conductance_m2_per_s_[i] * square;
  }
  return changed / std::max(all, 1e-300);
}

// Conjugate gradients with the factor of an earlier step, for a share of this step only: the next one is not
// far. What mass they leave open is closed by the old conductances, whose factor that is, so that the step
// keeps mass whenever they stop. False where the conductances have changed too much for this to be cheaper
// than to factor anew.
// SOURCE: inexact Newton: Dembo, Eisenstat and Steihaug, SIAM J. Numer. Anal. 19(2), 400-408, 1982 (from
// memory).
bool CoreNewton::StepByOldFactor() {
  constexpr double kShareStillLeft = 0.1;
  constexpr int kMostTurns = 4;
  const Stopwatch watch(outcome_.backsolve_s);
  const size_t unknowns = core_.unknowns;
  const std::span<double> left(left_m_.data(), unknowns), open(right_.data(), unknowns);
  std::fill(head_step_m_.begin(), head_step_m_.end(), 0);
  std::copy(right_.begin(), right_.end(), left_m_.begin());
  matrix_.Solve(left);
  double now = Dot(left, open);
  const double enough = kShareStillLeft * kShareStillLeft * now;
  std::copy(left_m_.begin(), left_m_.end(), towards_m_.begin());
  for (int turn = 0; now > enough; ++turn) {
    const double energy = Multiply(towards_m_, net_m3_per_s_);
    if (turn == kMostTurns) {
      FindRight(conductance_m2_per_s_);
      return false;
    }
    const double share = now / energy;
    for (size_t i = 0; i < unknowns; ++i) {
      head_step_m_[i] += share * towards_m_[i];
      right_[i] -= share * net_m3_per_s_[i];
    }
    std::copy(right_.begin(), right_.end(), left_m_.begin());
    matrix_.Solve(left);
    const double next = Dot(left, open);
    const double keep = next / now;
    now = next;
    for (size_t i = 0; i < unknowns; ++i) towards_m_[i] = left_m_[i] + keep * towards_m_[i];
  }
  for (size_t i = 0; i < core_.links.size(); ++i) {
    const CoreLink& link = core_.links[i];
    const double found = head_step_m_[link.from] - head_step_m_[link.to];
    const double more = left_m_[link.from] - left_m_[link.to];
    step_m3_per_s_[i] += conductance_m2_per_s_[i] * found + factored_m2_per_s_[i] * more;
    drive_step_m_[i] = found + more;
  }
  for (size_t i = 0; i < unknowns; ++i) head_step_m_[i] += left_m_[i];
  return true;
}

}  // namespace lastreach
