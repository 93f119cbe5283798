#include "network/network.h"

namespace lastreach {

double VolumeOf_m3(const Link& link) {
  if (!link.inner_diameter_m || link.kind == LinkKind::kPump) return 0;
  return PipeVolume(Length::Metres(link.length_m.value),
                    Diameter::Millimetres(link.inner_diameter_m->value * 1000))
      .cubic_metres();
}

bool IsShut(const Link& link) { return link.kind == LinkKind::kClosed; }

}  // namespace lastreach
