#include "together/time_table.h"

#include <algorithm>

namespace lastreach {
namespace {

constexpr int kSummerShift_min = 60;

bool AllDaily(const std::vector<TogetherDevice>& devices) {
  return std::all_of(devices.begin(), devices.end(), [](const TogetherDevice& device) {
    return std::all_of(device.ways.begin(), device.ways.end(),
                       [](const RunningWay& way) { return IsDaily(way.week); });
  });
}

OpenTimes Within(OpenTimes times, int period_min) {
  std::erase_if(times, [&](const OpenStretch& stretch) { return stretch.from_min >= period_min; });
  for (OpenStretch& stretch : times) stretch.to_min = std::min(stretch.to_min, period_min);
  return times;
}

}  // namespace

std::string_view ToText(ClockCare care) {
  switch (care) {
    case ClockCare::kAllMayBeWrong:
      return "all clocks may be wrong";
    case ClockCare::kAnyOneMayBeWrong:
      return "any one clock may be wrong";
    case ClockCare::kAllRight:
      return "all clocks right";
  }
  return "all clocks right";
}

TimeTable::TimeTable(const std::vector<TogetherDevice>& devices, const Options& options) {
  if (!options.whole_week && AllDaily(devices)) period_min_ = kMinutesADay;
  for (const bool summer : {false, true}) {
    if (summer ? !options.summer_time : !options.standard_time && options.summer_time) continue;
    Times right, may;
    for (const TogetherDevice& device : devices) {
      const int late_min = summer && !device.follows_clock_change ? kSummerShift_min : 0;
      right.emplace_back();
      may.emplace_back();
      for (const RunningWay& way : device.ways) {
        right.back().push_back(Within(ShiftedTimes(way.week, late_min, late_min), period_min_));
        may.back().push_back(
            Within(ShiftedTimes(way.week, late_min - options.clock_off_min, late_min + options.clock_off_min),
                   period_min_));
      }
    }
    right_.push_back(std::move(right));
    may_.push_back(std::move(may));
  }
}

}  // namespace lastreach
