#pragma once

#include <string>
#include <vector>

#include "calendar/answer.h"

namespace lastreach {

// What a careful colleague would say about these settings over this window, most harmful first. Each is one
// sentence an operator can check; none repeats another.
std::vector<std::string> CalendarWarnings(const DeviceSettings& device, const Zone& zone, DateWindow window,
                                          ClockState clock, const std::vector<Run>& runs);

// The lowest percentage above the one keyed, on the form's steps, at which a start would fall due while a run
// is still on; none if that never happens up to the form's most (200 if unknown) or happens already.
std::optional<int> PercentWhereRunsOverlap(const DeviceSettings& device, const Zone& zone, DateWindow window,
                                           ClockState clock);

// Starts that fall due while an earlier run is still on, with every run taken to start on time.
struct OverlapCount {
  int starts = 0;
  MinuteInstant first;
};
OverlapCount CountOverlaps(const DeviceSettings& device, const Zone& zone, DateWindow window,
                           ClockState clock);

}  // namespace lastreach
