#pragma once

#include <span>

namespace lastreach {

// A stretch of time over which flows stay as they are: what the hydraulics hand on to the transport of
// quality. Spans hold until the next period is asked for.
//
// Mass: at a junction the flows of its links and what is drawn there balance (to the solver's tolerance); a
// tank's volume changes by what it takes times the length of the period, exactly.
struct FlowPeriod {
  double begin_s = 0;
  double end_s = 0;                          // > begin_s
  std::span<const double> flow_m3_per_s;     // size links; from `from` to `to`
  std::span<const double> outflow_m3_per_s;  // size nodes: leaves the network there; of a tank what it takes
                                             // (below 0: gives), of a source below 0 what it gives
  std::span<const double> head_m;            // size nodes; NaN where nothing is fed
  std::span<const double> tank_volume_m3;    // size nodes: at begin_s; 0 where there is no tank with levels
};

}  // namespace lastreach
