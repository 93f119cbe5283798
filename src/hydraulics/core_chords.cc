#include <algorithm>
#include <cmath>

#include "hydraulics/core_newton.h"
#include "hydraulics/power.h"

namespace lastreach {
namespace {

constexpr double kPower = 1.852;
// Nearer than this the slope is as good as the chord; below this head the law is no plain power.
constexpr double kApart = 0.02;
constexpr double kLeastDrive_m = 1e-6;
constexpr double kLeastFriction = 1e-30;  // of chains that resist nothing

// (drive / friction)^(1/1.852), with its sign, round `middle`.
LASTREACH_WIDEST
void InvertPowers(size_t count, const double* __restrict drive, const double* __restrict friction,
                  const double* __restrict middle, double* __restrict flow) {
  constexpr double kTiny = 1e-200;
  for (size_t i = 0; i < count; ++i) {
    const double size = PowerOf((std::abs(drive[i]) + kTiny) / friction[i], 1 / kPower);
    flow[i] = middle[i] + std::copysign(size, drive[i]);
  }
}

}  // namespace

// What is drawn on the way, weighed by friction: about there the drive of a chain changes its sign.
void CoreNewton::FindMiddle(size_t chain) {
  double friction = 0, drawn = 0;
  for (size_t row = core_.row_begin[chain]; row < core_.row_begin[chain + 1]; ++row) {
    friction += core_.pipes.Friction(row);
    drawn += core_.pipes.Friction(row) * core_.drawn_m3_per_s[row];
  }
  friction_[chain] = std::max(friction, kLeastFriction);
  middle_m3_per_s_[chain] = drawn / friction_[chain];
}

// Of one plain pipe the flow is known from its law; of more, their frictions are put together at their
// middle, and two of Newton's steps on each chain alone bring it near.
void CoreNewton::FindDrivenFlows() {
  InvertPowers(core_.Chains(), drive_m_.data(), friction_.data(), middle_m3_per_s_.data(),
               driven_m3_per_s_.data());
  for (int i = 0; i < 2 && core_.single_chains < core_.Chains(); ++i) {
    EvaluateChains(core_.single_chains, driven_m3_per_s_, driven_loss_m_, driven_slope_s_per_m2_);
    for (size_t chain = core_.single_chains; chain < core_.Chains(); ++chain) {
      driven_m3_per_s_[chain] += (drive_m_[chain] - driven_loss_m_[chain]) / driven_slope_s_per_m2_[chain];
    }
  }
}

// Newton's slope brings a flow that goes to nothing only halfway there at each step. Once heads mean
// something, the chord to the flow that they would drive by themselves brings it all the way.
void CoreNewton::FindChords() {
  FindDrivenFlows();
  for (size_t chain = 0; chain < core_.Chains(); ++chain) {
    const double flow = core_.flow_m3_per_s[chain], driven = driven_m3_per_s_[chain];
    if (std::abs(drive_m_[chain]) <= kLeastDrive_m || friction_[chain] <= kLeastFriction) continue;
    if (std::abs(driven - flow) <= kApart * std::abs(flow)) continue;
    const double chord = (loss_m_[chain] - drive_m_[chain]) / (flow - driven);
    if (chord > kLeastSlope_s_per_m2) conductance_m2_per_s_[chain] = 1 / chord;
  }
}

}  // namespace lastreach
