#pragma once

#include <optional>
#include <vector>

#include "ledger/reach.h"

namespace lastreach {

// Spreads services and their demand over the pipes of a reach by length. The services add up to what was
// given.
void ShareOut(const Sourced<int>& services, const std::optional<Sourced<Flow>>& demand,
              std::vector<ReachPipe>& pipes);

}  // namespace lastreach
