#pragma once

#include <span>
#include <vector>

#include "quality/branch.h"
#include "quality/kinetics.h"
#include "quality/passage.h"

namespace lastreach {

// A reading at the end of a reach.
struct ShareQuery {
  double time_s = 0;
  // One standard deviation of how far a front is spread when it comes by, in time; 0 for plug flow.
  double spread_s = 0;
  double from_s = 0, to_s = 0;  // the stretch of steady flow about time_s that the spread stays in
};

// What is left, at the end of a reach, of the disinfectant that entered it, through time: the exact plug flow
// of quality/transport.h, a front blurred as it would be after its way:
//
//   share(t) = INT share(u) phi((u - t) / s) du / INT phi((u - t) / s) du      over [from, to]
//
// worked out in closed form piece by piece, so that it is smooth in every number of the reach: what a fit
// needs to feel where a front is.
// ERROR: none beyond the transport's at the instants of the drive; between them, where water stands beside an
// active wall, the loss is taken as even. Make an instant of every time asked for.
// COST: one transport of the whole drive; a query, a binary search and the pieces within five spreads.
// REQUIRES: CheckBranch(branch) and CheckDrive(drive) hold.
class ShareCurve {
 public:
  ShareCurve(const Branch& branch, const BranchDrive& drive, const Kinetics& kinetics);

  double ShareAt(const ShareQuery& query) const;  // 0 for water that was in the reach at the begin
  bool IsInitialAt(double time_s) const;

 private:
  Passage passage_;
};

// The same drive with an instant at each of these times that lies within it.
BranchDrive WithInstants(const BranchDrive& drive, std::span<const double> times_s);

}  // namespace lastreach
