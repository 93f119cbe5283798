#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "quality/branch.h"
#include "quality/kinetics.h"

namespace lastreach {

// For tests only: the slow oracle of transport.h. Parcels are let in at the root at short intervals and
// pushed along the pipe piece of time by piece of time, each carrying what it has lost; no volumes are
// summed, nothing is inverted.

// A parcel met a tap.
struct Crossing {
  std::size_t tap = 0;
  double time_s = 0;
  double released_s = 0;  // when it entered at the root
  double log_loss = 0;
  double flow_m3_per_s = 0;  // in the segment it came out of
};

std::vector<Crossing> PushParcels(const Branch& branch, const BranchDrive& drive, double interval_s,
                                  const Kinetics& kinetics = {});

// A branch and a drive made up from a seed: 1 to 6 segments, taps with and without draw, runs, still periods,
// now and then walls, daily temperature and a root that moves. `round` makes volumes, flows and times of
// round numbers, so that fronts meet taps exactly when the flow starts or stops; `side_draws` adds one to
// three that open and close.
struct RandomCase {
  Branch branch;
  BranchDrive drive;
};
RandomCase MakeRandomCase(uint64_t seed, bool round, bool side_draws = false);

}  // namespace lastreach
