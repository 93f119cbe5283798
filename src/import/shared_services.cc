#include "import/shared_services.h"

#include <cmath>

namespace lastreach {

void ShareOut(const Sourced<int>& services, const std::optional<Sourced<Flow>>& demand,
              std::vector<ReachPipe>& pipes) {
  double whole_m = 0;
  for (const ReachPipe& pipe : pipes) whole_m += pipe.length.value.metres();
  int left = services.value;
  double left_m = whole_m;
  for (ReachPipe& pipe : pipes) {
    const double length_m = pipe.length.value.metres();
    // Of what is left, by the length that is left: the rounding never adds up to one service too many.
    const int share = static_cast<int>(std::lround(left * (length_m / left_m)));
    pipe.services = {share, services.origin};
    if (pipes.size() > 1 && services.value > 0) {
      pipe.services.origin.kind = OriginKind::kEstimated;
      pipe.services.origin.note = std::to_string(services.value) + " on the reach, shared out by length";
    }
    left -= share;
    left_m -= length_m;
    if (demand) {
      pipe.demand = Sourced<Flow>{demand->value * (length_m / whole_m), demand->origin};
      if (pipes.size() > 1) pipe.demand->origin.note += "; shared out by length";
    }
  }
}

Status PutServices(const ServiceTotal& total, Reach& reach) {
  if (reach.pipes.empty()) {
    return BadInput("there are services but no pipe to put them on", {"", {}, "", total.point.text()});
  }
  if (!total.pipe) {
    ShareOut(total.services, total.demand, reach.pipes);
    return Ok();
  }
  if (*total.pipe < 1 || *total.pipe > static_cast<int>(reach.pipes.size())) {
    return BadInput("the reach of " + total.point.text() + " has no such pipe; it has " +
                        std::to_string(reach.pipes.size()),
                    {"", {}, "", std::to_string(*total.pipe)});
  }
  ReachPipe& pipe = reach.pipes[static_cast<size_t>(*total.pipe) - 1];
  pipe.services = total.services;
  if (total.demand) pipe.demand = total.demand;
  return Ok();
}

}  // namespace lastreach
