#pragma once

#include <optional>

#include "hydraulics/pipe_rows.h"
#include "hydraulics/solve.h"
#include "hydraulics/supply.h"

namespace lastreach {

struct Imbalance {
  double mass_m3_per_s = 0;
  double energy_m = 0;
  std::optional<LinkIndex> worst_link;  // of energy
};

// The greatest mass imbalance at any fed node and the greatest energy imbalance of any link between two fed
// nodes, from the answer and the network alone, in SI. What openings let out and what demands draw that fall
// with pressure is that of the pressures. Of links with states the state nearest to the answer counts: a
// check valve that passes nothing may hold back any head from behind; a reducing valve is open, holds its
// setting or is shut; so do the gates of tanks. The laws here are those without rounding off at zero flow.
// `pipes`: of all links, as PipeLawsOf has them.
Imbalance ImbalanceOf(const Network& network, const Supply& supply, const PipeRows& pipes,
                      const SteadyState& state);

}  // namespace lastreach
