#pragma once

#include <map>
#include <optional>
#include <set>
#include <utility>
#include <vector>

#include "year/change_table.h"
#include "year/device_parts.h"
#include "year/year_parts.h"

namespace lastreach {

// How a device stands in one part of the year.
enum class PartState {
  kHeld,     // settings hold it, or it needs none
  kFrost,    // the device must be off
  kNotHeld,  // no settings hold it: those of the hardest part that is held stand in
};

// What is asked of one device's year.
struct ChoiceOptions {
  double sureness = 0.9;
  FrostSpell frost{};
  std::set<int> trip_months{};             // in which somebody is there anyway, 1 to 12
  std::optional<TimerSettings> present{};  // keyed now, where clock and timer are right
};

// All that one device may be keyed to through the year, and the best schedules of it.
struct DeviceChoices {
  std::vector<DevicePlan> plans;  // [part], each for its part alone; an off part's has no settings
  std::vector<PartState> states;  // [part]
  std::vector<TimerSettings> candidates;
  std::vector<bool> is_percentage;  // [candidate] the base programmes with only the percentage turned, or off
  std::optional<size_t> base;       // candidate: programmes keyed once, to turn the percentage of
  ChangeTable table;
  std::map<std::pair<size_t, size_t>, Outcome> outcomes;  // [candidate, part] of all that stand in a schedule

  std::vector<ChangeSchedule> by_visits;  // least water with at most so many visits; empty if nothing holds
  ChangeSchedule unchanged;               // as few changes as will do at all: none, but for frost
  ChangeSchedule two_changes, four_changes;
  ChangeSchedule every_part;  // as many as there are parts
  ChangeSchedule percentage;  // base programmes all year; does not exist where the timer has no percentage

  bool exists() const { return !by_visits.empty() && by_visits.back().exists(); }
};

// Gathers candidates and judges them.
//
// Candidates: the settings each part would have alone, off where a part needs nothing, what is keyed now, the
// settings that take most water with their percentage turned down to the least step that holds in each part,
// and, where one of these is found not to hold in another part though it uses as much water as that part's
// own, the same with all runs a step longer.
//
// Which candidate holds in which part is asked of `parts` only where a schedule would use it: the best
// schedules are worked out as if all held that might, what they use is judged, and so on until nothing is
// left to judge. So every schedule returned is one that was judged to hold throughout, and the best among
// what has not been found failing. A candidate that uses less than nine tenths of the water of a part's own
// settings is taken not to hold there (planning leaves no more than that on the table).
DeviceChoices ChoicesOf(DeviceParts& parts, const std::vector<YearPart>& year, const ChoiceOptions& options);

}  // namespace lastreach
