#pragma once

#include <optional>
#include <vector>

#include "calendar/runs.h"
#include "ledger/records.h"

namespace lastreach {

// What stood in a timer from one moment to another, so far as somebody wrote it down.
//
// Somebody may find other settings than were last left. Then they changed at a moment nobody knows, between
// the two: `settings` until then, `found` from then on, every moment as likely as any other.
struct SettingsStretch {
  Instant from{};
  Instant to{};
  TimerSettings settings;
  std::optional<TimerSettings> found;  // where they differ from `settings` at `to`
  SettingsId left_by, found_by;        // the records that say so; 0 where there is none
  bool only_found = false;             // before the first record: as found at `to`, since nobody knows when
  // How far the clock stood off at the two ends, where somebody looked.
  std::optional<int> clock_fast_at_start_min, clock_fast_at_end_min;

  // What to take for the clock over the stretch: the middle of both ends, or the one that is known, or right.
  int ClockFast_min() const;
};

// A device that reads this much earlier or later than it did was set so or lost its time; less is drift.
inline constexpr int kClockJump_min = 30;

// The stretches that touch [from, to), in order, without overlap, cut to it; one with `found` keeps its own
// ends. Planned settings are no part of it. Before
// a first record that is as-left nothing is known, and no stretch covers it; before one that is as-found it
// is what was found. Records at `to` or later still say what was found. Of several at the same moment the
// later entry counts. REQUIRES: records of one point in order of time.
std::vector<SettingsStretch> SettingsTimeline(const std::vector<SettingsRecord>& records, Instant from,
                                              Instant to);

// Whether both make the same runs: off is off whatever else is keyed, and so are programmes without a start.
bool RunAlike(const TimerSettings& a, const TimerSettings& b);

// Where the settings of a point that somebody planned, left or found differ, newest first.
struct SettingsDifference {
  SettingsRecord earlier;  // planned or as-left
  SettingsRecord later;    // as-left or as-found
};
std::vector<SettingsDifference> SettingsDifferences(const std::vector<SettingsRecord>& records);

}  // namespace lastreach
