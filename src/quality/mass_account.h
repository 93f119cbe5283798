#pragma once

#include <vector>

#include "quality/branch.h"
#include "quality/kinetics.h"

namespace lastreach {

// Where the disinfectant of a branch went over the whole drive [g]. Each part is integrated on its own, in
// closed form over the pieces on which the residual is a straight line times an exponential, so that the
// balance is a check on the transport and not a definition of any part.
struct MassAccount {
  double held_at_start_g = 0;
  double entered_g = 0;                      // through the root
  std::vector<double> left_at_taps_g;        // by each tap's draw, size segments
  std::vector<double> left_by_side_draws_g;  // size side draws
  double left_at_end_g = 0;                  // with the device's flow
  double decayed_g = 0;  // what each water lost between entering a segment and leaving it, or by the end
  double held_at_end_g = 0;

  double water_in_m3 = 0;   // through the root
  double water_out_m3 = 0;  // all taps, side draws and the device

  // What is missing (if positive) or too much.
  double imbalance_g() const;
};

// ERROR: the balance closes to 1e-9 of held_at_start_g + entered_g.
// COST: a few times LowestResiduals without the bends left out, and four exponentials a breakpoint.
// REQUIRES: CheckBranch(branch) and CheckDrive(drive) hold.
MassAccount AccountForMass(const Branch& branch, const BranchDrive& drive, const Kinetics& kinetics = {});

}  // namespace lastreach
