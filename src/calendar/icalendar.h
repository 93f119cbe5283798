#pragma once

#include <string>
#include <vector>

#include "calendar/runs.h"

namespace lastreach {

// The runs as an iCalendar file (RFC 5545), one event a run, times in UTC so that no reader needs our zone
// rules. `name` titles the events and, with the start, makes their UIDs, so that a second import replaces the
// first. `stamp` is written as DTSTAMP.
std::string ToICalendar(const std::vector<Run>& runs, const std::string& name, Instant stamp);

}  // namespace lastreach
