#include "report/year_paper.h"

#include <algorithm>

#include "report/words.h"

namespace lastreach {

std::string SettingsInShort(const TimerSettings& settings, SheetUnits units) {
  if (!settings.on) return "OFF";
  std::string text;
  for (const Programme& programme : settings.programmes) {
    if (!IsUsed(programme)) continue;
    std::vector<std::string> starts;
    for (const int start : programme.starts_min) starts.push_back(FormatTimeOfDay(start));
    text += (text.empty() ? "" : "; ") + JoinedWithAnd(starts) + ", " + std::to_string(programme.minutes) +
            " min";
    if (programme.days != DayPattern(kEveryWeekday)) text += ", " + DaysInShort(programme.days, units);
    if (programme.percent && *programme.percent != 100)
      text += ", " + std::to_string(*programme.percent) + " %";
  }
  if (text.empty()) return "nothing keyed";
  return settings.percent == 100 ? text : text + "; " + std::to_string(settings.percent) + " %";
}

std::optional<TimerSettings> SettingsBefore(const YearPlan& year, const SettingsChange& change) {
  const size_t count = year.parts.size();
  const auto device = std::find_if(year.devices.begin(), year.devices.end(),
                                   [&](const DeviceYear& other) { return other.point.code == change.point; });
  if (device == year.devices.end() || device->parts.size() != count) return std::nullopt;
  for (size_t part = 0; part < count; ++part) {
    if (year.parts[part].days.from != change.when) continue;
    TimerSettings before = device->parts[(part + count - 1) % count].settings;
    for (size_t back = 2; back <= count && !before.on; ++back) {
      const TimerSettings& earlier = device->parts[(part + count - back) % count].settings;
      if (!earlier.on) continue;
      before = earlier;
      before.on = false;
      break;
    }
    return before;
  }
  return std::nullopt;
}

}  // namespace lastreach
