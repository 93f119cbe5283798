#pragma once

#include <optional>
#include <string>
#include <vector>

#include "calendar/runs.h"
#include "evidence/point_records.h"
#include "evidence/settings_timeline.h"

namespace lastreach {

// The flow of a point while open, and how well it is known.
struct KnownFlow {
  double flow_m3_per_s = 0;
  double relative_sd = 0;      // one standard deviation, as a share of the flow
  std::optional<Date> tested;  // the day of the flow test it is from; none where it is the point's own number
  std::string source;          // "flow test by drum on 2026-05-04", "typed by KB"
};

// By the last flow test up to that day, else the first one after it, else the point's own flow; none where
// there is none of these or it is 0. A test's deviation is its own, else that of its method (RelativeSdOf);
// the point's own: measured 5 %, typed 15 %, estimated 20 %, assumed 30 %. A test grows older: 5 % a year is
// added in squares. SOURCE: common practice, no source.
std::optional<KnownFlow> FlowOn(const PointRecords& records, Date day);

// One opening, and the odds that the settings that make it stood there then.
struct LikelyRun {
  Run run;
  double odds = 1;
  friend bool operator==(const LikelyRun&, const LikelyRun&) = default;
};

// Every run that the settings in the ground make within [from, to), in order of start, those over its ends
// cut there. Where settings changed at an unknown moment, runs of both are there with their odds; so are
// those of every phase where nobody knows on which day a count began.
// COST: as ExpandRuns, times the phases.
std::vector<LikelyRun> RunsInGround(const PointRecords& records, Instant from, Instant to);

// What should have gone through the point in [from, to), if it ran by the settings in the ground:
//
//   volume = flow x sum of (odds x minutes),   sd^2 = (flow sd)^2 + (settings sd)^2 + (run scatter)^2
//
// the settings' part from the odds, each run scattering by kRunScatter of its volume.
struct ExpectedWater {
  double volume_m3 = 0;
  double sd_m3 = 0;
  double open_minutes = 0;  // on average over the odds
  double runs = 0;          // likewise
  double by_hand_m3 = 0;    // logged flushes that were no run of the timer; not in volume_m3
  double unknown_s = 0;     // time for which nobody wrote down any settings; its water is not in volume_m3
  std::optional<KnownFlow> flow;  // none: no volume can be known
  std::vector<std::string> notes;

  bool IsKnown() const { return flow.has_value() && unknown_s <= 0; }
};
ExpectedWater ExpectedBetween(const PointRecords& records, Instant from, Instant to);

// What the volume of one run differs by from flow x minutes, as a share (valve speed, pressure that night).
// SOURCE: common practice, no source.
inline constexpr double kRunScatter = 0.10;

// The middle of the working day, for a record that gives a day only; the hours from kReadHourFirst to
// kReadHourLast are taken as equally likely.
inline constexpr int kReadHourFirst = 7;
inline constexpr int kReadHourLast = 17;
Instant MomentOf(const Zone& zone, Date day, std::optional<int> minute_of_day);

// One standard deviation of a volume told by such a method, as a share of it: meter 2 %, drum 5 %, pitot 10
// %, estimate 25 %. SOURCE: common practice, no source.
double RelativeSdOf(MeasuredBy by);

}  // namespace lastreach
