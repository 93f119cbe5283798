#pragma once

#include <array>
#include <optional>
#include <string_view>
#include <vector>

#include "calendar/runs.h"
#include "evidence/point_records.h"

namespace lastreach {

// How a device's clock may stand. The words are printed: never change them.
enum class ClockIs { kRight, kAsLastSeen, kHourFast, kHourSlow };
inline constexpr std::array<ClockIs, 4> kClocks = {ClockIs::kRight, ClockIs::kAsLastSeen, ClockIs::kHourFast,
                                                   ClockIs::kHourSlow};
std::string_view ToText(ClockIs clock);  // "right", "as last seen", "an hour fast", "an hour slow"

// A device at one moment with its clock so.
struct ClockRuns {
  ClockIs clock = ClockIs::kRight;
  int fast_min = 0;
  std::optional<Run> on;    // that is on then, or was or will be within kCallerWithin_min
  std::optional<Run> last;  // before it, within a week
  std::optional<Run> next;  // after it, within a week
};

// People tell the time when they ring, not when it began. SOURCE: common practice, no source.
inline constexpr int kCallerWithin_min = 15;

struct RunningDevice {
  PointCode point;
  bool settings_known = false;    // in the ground at that moment
  bool is_on = false;             // keyed to run at all
  std::vector<ClockRuns> clocks;  // in the order of kClocks; "as last seen" only where somebody looked

  // By a clock that is right or as it was last seen; and by one that is an hour out.
  bool ShouldRun() const;
  bool MayRun() const;
  const ClockRuns* FirstOn() const;  // the first of `clocks` by which it is on; none: null
};

// By the settings that stood in the ground then. Where a count of days has no first day, every phase counts:
// it may be on. ERROR: none. COST: that of ExpandRuns over three weeks, for each clock and phase.
RunningDevice RunningAt(const PointRecords& records, Instant at);

}  // namespace lastreach
