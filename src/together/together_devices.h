#pragma once

#include <optional>
#include <string>
#include <vector>

#include "together/open_times.h"

namespace lastreach {

// One way a device may be set.
struct RunningWay {
  OpenTimes week;  // by the device's own clock: ClockWeek
  double water_m3_per_day = 0;
  bool is_wished = false;  // as it was planned alone, or stands now
};

// A device among others.
struct TogetherDevice {
  std::string code;
  std::string zone;
  bool follows_clock_change = false;
  double flow_m3_per_s = 0;
  std::vector<RunningWay> ways;  // one of these
};

// A user's limit on devices of a zone, or on all, that are open at once.
struct MostAtOnce {
  std::string zone;  // empty for all
  std::optional<int> devices;
  std::optional<double> flow_m3_per_s;
  std::string source;  // the source box
};

// Devices that must not all be open in one hour, found out elsewhere (confirm_pressure.h).
struct NotTogether {
  std::vector<size_t> devices;  // by number
  std::optional<int> hour;      // of the day, 0 to 23; none for every hour
  std::string words;            // why: "N12 falls to 11.3 m on Monday at 6:10"
};

// Which clocks may be wrong without devices meeting that must not. From the most careful.
enum class ClockCare {
  kAllMayBeWrong,     // every clock anything up to `clock_off_min` out
  kAnyOneMayBeWrong,  // one of them, the others right
  kAllRight,
};
std::string_view ToText(ClockCare care);  // "all clocks may be wrong", "any one clock may be wrong", ...

}  // namespace lastreach
