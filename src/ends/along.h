#pragma once

#include <optional>

#include "network/network.h"

namespace lastreach {

// The place so far along a link, from its `from` end; the drawn line is taken to be as long as the link says.
// None where the link has no line.
std::optional<Position> PositionAlong(const Link& link, double along_m);

}  // namespace lastreach
