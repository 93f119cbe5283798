#pragma once

#include <cstddef>
#include <functional>
#include <span>
#include <string>
#include <vector>

#include "quality/dispersed_branch.h"
#include "quality/household_pulses.h"

namespace lastreach {

// A reach under the chance of its households: the same weeks many times over, each with other pulses.
struct EnsembleOptions {
  std::string name = "households";  // of the draws: the same name gives the same result
  std::size_t members = 100;
  double judge_from_s = 0;  // in the drive; before it the reach fills
  DispersionOptions dispersion;
  unsigned threads = 0;  // 0: one a core; changes the speed alone
};

// What the members met at one tap, each list in ascending order, size members.
struct TapSpread {
  std::vector<double> lowest_mg_per_l;
  std::vector<double> greatest_age_s;
};

// The value that a share of sorted values lies below, linear between neighbours.
// REQUIRES: values ascending, one or more; 0 <= share <= 1.
double Quantile(std::span<const double> sorted, double share);

// Moves a branch through a drive under pulses in place of steady taps, and judges from `judge_from_s` on.
// REQUIRES: CheckDrive(drive) holds; `changes` as DrawDemand gives them for this drive; a branch that has not
// moved yet; judge_from_s within the drive.
void AdvanceUnderPulses(DispersedBranch& water, const BranchDrive& drive, std::span<const DrawChange> changes,
                        double judge_from_s);

// The spread of the lowest residual and the greatest mean age at every tap, size segments. Member k draws
// under the name "NAME/k" and nothing else is drawn, so that the result is the same whatever the number of
// threads. A wall begins anew with each pulse (still_water.h) and takes far more than in truth: give its mean
// rate as loss in the bulk. `progress`, where given, is told how many members are done, from any thread, one
// at a time. COST: a member costs a step of DispersedBranch for each change of any tap: with ten households
// and 100 cells about 0.03 s a day of the drive. THREADS: starts its own and waits for them. REQUIRES:
// CheckBranch(branch) and CheckDrive(drive) hold; members > 0; judge_from_s within the drive.
std::vector<TapSpread> SpreadUnderPulses(const Branch& branch, const BranchDrive& drive, const PulseLaw& law,
                                         const EnsembleOptions& options, const Kinetics& kinetics = {},
                                         const std::function<void(std::size_t done)>& progress = {});

}  // namespace lastreach
