#pragma once

#include <optional>
#include <vector>

#include "core/result.h"
#include "import/import.h"
#include "ledger/reach.h"

namespace lastreach {

// Spreads services and their demand over the pipes of a reach by length. The services add up to what was
// given.
void ShareOut(const Sourced<int>& services, const std::optional<Sourced<Flow>>& demand,
              std::vector<ReachPipe>& pipes);

// Puts the services of a sheet of services on the reach of the same point, in place of those that are there.
// ERROR: kBadInput if the reach has no pipe of that position, or none at all.
Status PutServices(const ServiceTotal& total, Reach& reach);

}  // namespace lastreach
