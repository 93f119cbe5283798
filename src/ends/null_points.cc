#include "ends/null_points.h"

#include <algorithm>
#include <cstdio>
#include <string>
#include <utility>
#include <vector>

#include "ends/along.h"
#include "ends/describe_place.h"

namespace lastreach {
namespace {

std::pair<double, double> SlownessOf(const Arm& arm) {
  return {arm.days_to_last_customer.value_or(0), arm.volume_m3};
}

// From the source, or from the well-fed main where no source is known.
double OldestDays(const Arm& arm) {
  return arm.days_from_source.value_or(arm.days_to_last_customer.value_or(0));
}

// Why a meeting place is worth a look; empty if it is not.
std::vector<std::string> WhyQuiet(const Arm& slow, const Arm& other, const EndOptions& options) {
  std::vector<std::string> why;
  char text[96];
  const double days = std::max(OldestDays(slow), OldestDays(other));
  if (days > options.quiet_days) {
    std::snprintf(text, sizeof text, "a customer here gets water more than %.3g days old",
                  options.quiet_days);
    why.emplace_back(text);
  }
  const double tail_m = slow.tail_m + other.tail_m;
  const double tail_m3 = slow.tail_m3 + other.tail_m3;
  const double use_m3_per_day = (slow.demand_m3_per_s + other.demand_m3_per_s) * kSecondsPerDay;
  if (tail_m > options.still_m && tail_m3 > options.swept_days * use_m3_per_day) {
    std::snprintf(text, sizeof text, "%.0f m (%.1f m3) stand between the last customers of both ways", tail_m,
                  tail_m3);
    why.emplace_back(text);
  }
  return why;
}

}  // namespace

bool WatersMeetOn(LinkIndex link, const Network& network, const ShortestFeed& feed) {
  if (feed.links[At(link)].fed_by != FedBy::kBoth) return false;
  const auto is_drawn = [&](NodeIndex node) { return feed.flow_m3_per_s[At(*feed.root[At(node)])] > 0; };
  return is_drawn(network[link].from) || is_drawn(network[link].to);
}

std::optional<QuietPlace> QuietMeetingPoint(LinkIndex link, const ReachTracer& tracer) {
  Arm slow = tracer.ToCut(link, 0);
  Arm other = tracer.ToCut(link, 1);
  if (SlownessOf(other) > SlownessOf(slow)) std::swap(slow, other);
  const std::vector<std::string> why = WhyQuiet(slow, other, tracer.options());
  if (why.empty()) return {};
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
  place.notes.insert(place.notes.end(), why.begin(), why.end());
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
