#include "ends/describe_place.h"

#include <cmath>
#include <cstdio>

namespace lastreach {
namespace {

void NoteWidths(const Arm& arm, const ReachTracer& tracer, QuietPlace& place) {
  double unknown_m = 0;
  double assumed_m = 0;
  for (const ReachPiece& piece : arm.pieces) {
    const auto& width = tracer.network()[piece.link].inner_diameter_m;
    const double length_m = std::abs(piece.to_m - piece.from_m);
    if (!width) unknown_m += length_m;
    if (width && width->origin.kind == OriginKind::kAssumed && !width->origin.by.empty())
      assumed_m += length_m;
  }
  char text[96];
  if (unknown_m > 0) {
    std::snprintf(text, sizeof text, "the width of %.0f m is not known; %.0f mm taken", unknown_m,
                  1000 * tracer.options().feed.assumed_diameter_m);
    place.notes.push_back(text);
  }
  if (assumed_m > 0) {
    std::snprintf(text, sizeof text, "the width of %.0f m is assumed", assumed_m);
    place.notes.push_back(text);
  }
}

}  // namespace

void TakeArm(const Arm& arm, const ReachTracer& tracer, QuietPlace& place) {
  place.reach = arm.pieces;
  place.length_m = arm.length_m;
  place.volume_m3 = arm.volume_m3;
  place.services = arm.services;
  place.services_beyond = arm.services_beyond;
  place.demand_m3_per_s = arm.demand_m3_per_s;
  place.tail_m = arm.tail_m;
  place.tail_m3 = arm.tail_m3;
  place.days_to_last_customer = arm.days_to_last_customer;
  place.days_from_source = arm.days_from_source;
  place.fed_by = tracer.FedBy(arm);
  place.fed_through = tracer.FedThrough(arm);
  if (tracer.feed().is_assumed[At(arm.tee)] != 0) {
    place.notes.push_back("nothing on the map feeds this part; taken as fed at its widest main");
  }
  NoteWidths(arm, tracer, place);
  if (arm.services + arm.services_beyond > 0 && !arm.days_to_last_customer) {
    place.notes.push_back("the use of its customers is not known");
  } else if (arm.last_draws_nothing) {
    place.notes.push_back("its last customer draws nothing; the days are to the last one that does");
  }
}

}  // namespace lastreach
