#pragma once

#include <optional>
#include <vector>

#include "core/position.h"
#include "ledger/reach.h"
#include "network/network.h"
#include "network/quiet_place.h"

namespace lastreach {

// A point stands at an end if it is within this of it (common practice, no source: a device is drawn in the
// verge, the end of the main in the road).
inline constexpr double kAtAnEnd_m = 40;

// The dead end, stub, shut valve or maybe-gap nearest to a place, within `within_m`; null for none.
const QuietPlace* PlaceNear(const std::vector<QuietPlace>& places, Position at, double within_m = kAtAnEnd_m);

// Metres on the ground from a place to where a quiet place ends.
double DistanceTo_m(const QuietPlace& place, Position at);

// The reach of a quiet place as a device's reach: pipes from the well-fed main to the end, neighbours of one
// width and material put together. What lies past the last customer is a pipe of its own, on which nothing is
// drawn. Of a null point, its first arm.
//
// Origins: lengths and widths as the map has them; services and their use are estimated from where they are
// drawn, assumed where the map's are. A width or use nobody knows is left out, for planning to assume.
std::vector<ReachPipe> PipesOf(const Network& network, const QuietPlace& place);

// The same for places some of whose reaches run through the same mains: pipes end where two ways part, and
// each has a name (DeviceFacts::pipe_ids), the same in every reach that has it.
struct NamedPipes {
  std::vector<ReachPipe> pipes;
  std::vector<std::string> ids;
};
std::vector<NamedPipes> NamedPipesOf(const Network& network, const std::vector<const QuietPlace*>& places);

// Water in pipes [m3]; none where the width of one is not known.
std::optional<double> VolumeOf_m3(const std::vector<ReachPipe>& pipes);

}  // namespace lastreach
