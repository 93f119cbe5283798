#pragma once

#include <optional>
#include <string>
#include <vector>

#include "calendar/runs.h"
#include "calendar/settings_json.h"

namespace lastreach {

// A stretch with the valve shut, from one run's end to the next one's start.
struct Gap {
  MinuteInstant from;
  MinuteInstant to;
  double hours() const { return static_cast<double>((to - from).count()) / 60; }
};

struct CalendarAnswer {
  std::vector<Run> runs;
  int runs_per_year = 0;           // in the twelve months from the window's first day
  std::optional<Gap> longest_gap;  // none with fewer than two runs in the window
  int64_t total_minutes = 0;       // of the runs listed
  std::vector<std::string> warnings;
  std::vector<int> phases;  // the phases listed, for ExpandRuns; empty if every first day is known
};

// What the settings really do between two dates, in words where words are needed.
//
// Where an every-N programme has no first day, every phase is considered: the runs listed, the count and the
// total are those of the phase with the longest gap, and a warning says so.
// Where the form does not say whether the clock follows the change, it is taken not to, with a warning.
CalendarAnswer AnswerCalendar(const DeviceSettings& device, const Zone& zone, DateWindow window,
                              int clock_fast_minutes = 0);

// The longest stretch between runs, or none with fewer than two. REQUIRES: runs in order of start.
std::optional<Gap> LongestGap(const std::vector<Run>& runs);

}  // namespace lastreach
