#pragma once

#include <optional>

#include "core/result.h"
#include "network/network.h"
#include "store/database.h"

namespace lastreach {

// The network as it stands in the tables of a project; none if none was put there.
// ERROR: kBadInput naming the row, where another program left one that does not fit.
Result<std::optional<Network>> ReadNetwork(Database& database);

}  // namespace lastreach
