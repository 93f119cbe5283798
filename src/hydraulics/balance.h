#pragma once

#include <optional>
#include <span>
#include "hydraulics/solve.h"

#include "hydraulics/link_law.h"
#include "hydraulics/supply.h"

namespace lastreach {

struct Imbalance {
  double mass_m3_per_s = 0;
  double energy_m = 0;
  std::optional<LinkIndex> worst_link;  // of energy
};

// The greatest mass imbalance at any fed node and the greatest energy imbalance of any link between two fed
// nodes, from the answer and the network alone, in SI. Of links with states the state nearest to the answer
// counts: a check valve that passes nothing may hold back any head from behind; a reducing valve is open,
// holds its setting or is shut. The laws here are those without rounding off at zero flow.
// `laws`: of each link between fed nodes, size links.
Imbalance ImbalanceOf(const Network& network, const Supply& supply, std::span<const LinkLaw> laws,
                      const SteadyState& state);

}  // namespace lastreach
