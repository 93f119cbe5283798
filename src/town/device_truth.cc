#include "town/device_truth.h"

#include <algorithm>
#include <cmath>

#include "calendar/runs.h"

namespace lastreach {
namespace {

// By the long way round the water meets more pipe, loses head and residual on the way.
constexpr double kLongWayVolume = 2.4;
constexpr double kLongWayFlow = 0.45;
constexpr double kLongWayResidual = 0.55;

// Flat is called after this much more than the main holds; nobody waits longer than for three times what the
// map says, by the flow of that day.
constexpr double kUntilFlat = 1.35;
constexpr double kPatience = 3.2;

constexpr int kTestFlushBegins_min = 13 * 60;

Date DayOf(const Zone& zone, Instant moment) {
  return Date{std::chrono::floor<std::chrono::days>(zone.ToLocal(moment))};
}

bool IsWithin(Date day, const std::optional<Date>& from, const std::optional<Date>& to) {
  return from && DayNumber(day) >= DayNumber(*from) && (!to || DayNumber(day) < DayNumber(*to));
}

struct Stretch {
  Instant from, to;
  const TimerSettings* keyed = nullptr;
  int fast_min = 0;
};

std::vector<Stretch> StretchesOf(const DeviceVisits& visits, const Zone& zone) {
  std::vector<Stretch> stretches;
  for (const BoxVisit& visit : visits.visits) {
    const TimerSettings* keyed = visit.keyed         ? &*visit.keyed
                                 : stretches.empty() ? nullptr
                                                     : stretches.back().keyed;
    // A visit that touched nothing leaves the clock as it was.
    const int fast_min = visit.keyed || stretches.empty() ? visit.left_fast_min : stretches.back().fast_min;
    if (!stretches.empty()) stretches.back().to = visit.at;
    stretches.push_back({visit.at, {}, keyed, fast_min});
  }
  const Date last = std::chrono::year(kDirtyYear + 1) / 1 / 10;
  stretches.back().to = zone.FirstInstant(Midnight(last));
  stretches.front().from = zone.FirstInstant(Midnight(std::chrono::year(kDirtyYear) / 1 / 1));
  return stretches;
}

}  // namespace

double OpenFlow_m3_per_s(const DeviceBasis& basis, const DeviceVisits& visits, Date day) {
  const bool closed = IsWithin(day, visits.closed_from, visits.mended_on);
  return TrueFlow_m3_per_s(basis, day) * (closed ? kLongWayFlow : 1);
}

TrueReach TrueReachOn(const DeviceBasis& basis, const DeviceVisits& visits, Date day) {
  TrueReach reach = basis.true_reach;
  reach.volume_m3 *= visits.true_diameter_factor * visits.true_diameter_factor;
  if (IsWithin(day, visits.closed_from, visits.mended_on)) reach.volume_m3 *= kLongWayVolume;
  return reach;
}

double UpstreamShare(const DeviceVisits& visits, Date day) {
  return IsWithin(day, visits.closed_from, visits.mended_on) ? kLongWayResidual : 1;
}

double Nitrified(const DeviceVisits& visits, Date day, int behind_days) {
  if (!visits.nitrifies_from) return 0;
  const int since_days = DayNumber(day) - DayNumber(*visits.nitrifies_from) - behind_days;
  return std::clamp(since_days / 30.0, 0.0, 1.0);
}

Instant TestFlushBegins(const DeviceVisits& visits, const Zone& zone) {
  return zone.FirstInstant(Midnight(visits.test_flush_on) + std::chrono::minutes(kTestFlushBegins_min));
}

int TestFlushMinutes(const DeviceBasis& basis, const DeviceVisits& visits) {
  const double flow_m3_per_min = OpenFlow_m3_per_s(basis, visits, visits.test_flush_on) * kSecondsPerMinute;
  const double flat_min =
      kUntilFlat * TrueReachOn(basis, visits, visits.test_flush_on).volume_m3 / flow_m3_per_min;
  const double patient_min = kPatience * basis.true_reach.volume_m3 / flow_m3_per_min;
  return static_cast<int>(std::ceil(std::min(flat_min, patient_min)));
}

TrueValve MakeTrueValve(const DeviceBasis& basis, const DeviceVisits& visits, const Zone& zone) {
  std::vector<ValveOpening> openings, leaks;
  bool is_dead = false, is_stuck = false;
  for (const Stretch& stretch : StretchesOf(visits, zone)) {
    const BoxVisit* at = nullptr;
    for (const BoxVisit& visit : visits.visits) {
      if (visit.at == stretch.from) at = &visit;
    }
    if (at != nullptr && at->new_battery) is_dead = false;
    const DateWindow window = {DayOf(zone, stretch.from), AddDays(DayOf(zone, stretch.to), 1)};
    const ClockState clock = {basis.follows_clock_change, stretch.fast_min};
    for (const Run& run : ExpandRuns(basis.form, *stretch.keyed, zone, window, clock)) {
      const Instant begin = run.start;
      if (begin < stretch.from || begin >= stretch.to) continue;
      const Date day = DayOf(zone, begin);
      if (visits.dead_from && DayNumber(day) >= DayNumber(*visits.dead_from) &&
          stretch.from < zone.FirstInstant(Midnight(*visits.dead_from))) {
        is_dead = true;
      }
      if (is_dead) continue;
      ValveOpening opening = {begin, run.end(), OpenFlow_m3_per_s(basis, visits, day)};
      if (visits.stuck_on && !is_stuck && DayNumber(day) >= DayNumber(*visits.stuck_on)) {
        opening.end = std::max(opening.end, *visits.stuck_until);
        is_stuck = true;
      }
      openings.push_back(opening);
    }
  }
  const Instant begun = TestFlushBegins(visits, zone);
  openings.push_back({begun, begun + std::chrono::minutes(TestFlushMinutes(basis, visits)),
                      OpenFlow_m3_per_s(basis, visits, visits.test_flush_on)});
  if (visits.dribbles_from) {
    leaks.push_back({zone.FirstInstant(Midnight(*visits.dribbles_from)),
                     zone.FirstInstant(Midnight(*visits.mended_on)),
                     Flow::GallonsPerMinute(visits.dribble_gpm).cubic_metres_per_second()});
  }
  return TrueValve(std::move(openings), std::move(leaks));
}

}  // namespace lastreach
