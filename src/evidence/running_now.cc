#include "evidence/running_now.h"

#include <algorithm>

#include "evidence/expected_water.h"

namespace lastreach {
namespace {

using std::chrono::minutes;

constexpr int kLook_days = 8;

// The same records with the clock set so from beginning to end.
PointRecords WithClockAt(PointRecords records, int fast_min) {
  for (SettingsRecord& record : records.settings) record.clock_fast_minutes = fast_min;
  return records;
}

ClockRuns RunsBy(const PointRecords& records, ClockIs clock, int fast_min, Instant at) {
  ClockRuns runs;
  runs.clock = clock;
  runs.fast_min = fast_min;
  const std::chrono::days look{kLook_days};
  const auto all = RunsInGround(WithClockAt(records, fast_min), at - look, at + look);
  for (const LikelyRun& likely : all) {
    const Instant begin{likely.run.start}, end{likely.run.end()};
    if (begin - minutes(kCallerWithin_min) <= at && at < end + minutes(kCallerWithin_min)) {
      // Of two as near, the one that is really on.
      const bool really = begin <= at && at < end;
      if (!runs.on || really) runs.on = likely.run;
    }
    if (end <= at) runs.last = likely.run;
    if (begin > at && !runs.next) runs.next = likely.run;
  }
  return runs;
}

}  // namespace

std::string_view ToText(ClockIs clock) {
  switch (clock) {
    case ClockIs::kRight:
      return "right";
    case ClockIs::kAsLastSeen:
      return "as last seen";
    case ClockIs::kHourFast:
      return "an hour fast";
    case ClockIs::kHourSlow:
      break;
  }
  return "an hour slow";
}

bool RunningDevice::ShouldRun() const {
  return std::any_of(clocks.begin(), clocks.end(), [](const ClockRuns& runs) {
    return runs.on && (runs.clock == ClockIs::kRight || runs.clock == ClockIs::kAsLastSeen);
  });
}

bool RunningDevice::MayRun() const { return FirstOn() != nullptr; }

const ClockRuns* RunningDevice::FirstOn() const {
  const auto on = std::find_if(clocks.begin(), clocks.end(), [](const ClockRuns& runs) { return runs.on; });
  return on == clocks.end() ? nullptr : &*on;
}

RunningDevice RunningAt(const PointRecords& records, Instant at) {
  RunningDevice device;
  device.point = records.point.code;
  const auto stretches = SettingsTimeline(records.settings, at, at + minutes(1));
  if (stretches.empty()) return device;
  const SettingsStretch& stretch = stretches.front();
  device.settings_known = true;
  device.is_on = stretch.settings.on || (stretch.found && stretch.found->on);
  const auto seen =
      stretch.clock_fast_at_end_min ? stretch.clock_fast_at_end_min : stretch.clock_fast_at_start_min;
  constexpr int kHour_min = 60;
  for (const ClockIs clock : kClocks) {
    if (clock == ClockIs::kAsLastSeen && !seen) continue;
    const int fast_min = clock == ClockIs::kAsLastSeen ? *seen
                         : clock == ClockIs::kHourFast ? kHour_min
                         : clock == ClockIs::kHourSlow ? -kHour_min
                                                       : 0;
    device.clocks.push_back(RunsBy(records, clock, fast_min, at));
  }
  return device;
}

}  // namespace lastreach
