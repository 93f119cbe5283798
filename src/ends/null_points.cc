#include "ends/null_points.h"

#include <algorithm>
#include <cstdio>
#include <utility>

#include "ends/along.h"
#include "ends/describe_place.h"

namespace lastreach {
namespace {

std::pair<double, double> SlownessOf(const Arm& arm) {
  return {arm.days_to_last_customer.value_or(0), arm.volume_m3};
}

bool AnythingIsDrawn(const Arm& arm, const ShortestFeed& feed) {
  return feed.flow_m3_per_s[At(*feed.root[At(arm.tee)])] > 0;
}

}  // namespace

std::optional<QuietPlace> QuietMeetingPoint(LinkIndex link, const ReachTracer& tracer) {
  Arm slow = tracer.ToCut(link, 0);
  Arm other = tracer.ToCut(link, 1);
  if (!AnythingIsDrawn(slow, tracer.feed()) && !AnythingIsDrawn(other, tracer.feed())) return {};
  if (SlownessOf(other) > SlownessOf(slow)) std::swap(slow, other);
  if (slow.days_to_last_customer.value_or(0) < tracer.options().quiet_days &&
      slow.tail_m + other.tail_m < tracer.options().still_m) {
    return {};
  }
  QuietPlace place;
  place.kind = QuietKind::kNullPoint;
  TakeArm(slow, tracer, place);
  place.reach.insert(place.reach.end(), other.pieces.begin(), other.pieces.end());
  place.length_m += other.length_m;
  place.volume_m3 += other.volume_m3;
  place.services += other.services;
  place.services_beyond += other.services_beyond;
  place.demand_m3_per_s += other.demand_m3_per_s;
  place.tail_m += other.tail_m;
  place.tail_m3 += other.tail_m3;
  place.days_from_source = std::max(place.days_from_source, other.days_from_source);
  const std::string also_by = tracer.FedBy(other);
  if (also_by != place.fed_by && !also_by.empty()) place.fed_by += "; and " + also_by;
  char text[96];
  std::snprintf(text, sizeof text, "two arms meet, %.1f m3 and %.1f m3", slow.volume_m3, other.volume_m3);
  place.notes.push_back(text);
  const Link& meeting = tracer.network()[link];
  place.at = PositionAlong(meeting, tracer.feed().links[At(link)].cut_m).value_or(Position{});
  place.street = meeting.street;
  place.zone = meeting.zone;
  return place;
}

}  // namespace lastreach
