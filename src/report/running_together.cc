#include "report/running_together.h"

#include <algorithm>
#include <map>
#include <utility>

#include "report/public_words.h"

namespace lastreach {
namespace {

namespace chrono = std::chrono;

constexpr int kMinutesPerDay = 24 * 60;
constexpr int kDays = 7;

// Local minutes since the week's first midnight.
struct Stretch {
  int from_min = 0;
  int to_min = 0;
  size_t device = 0;
};

Date FirstMonday(const SystemPlan& plan) {
  const auto from = chrono::sys_days(plan.from);
  const auto days_on = (chrono::Monday - chrono::weekday(from)).count();
  const Date monday = AddDays(plan.from, static_cast<int>(days_on));
  return DayNumber(monday) + kDays <= DayNumber(plan.to) ? monday : plan.from;
}

std::vector<Stretch> StretchesOf(const SystemPlan& plan, const Zone& zone) {
  const Date monday = FirstMonday(plan);
  const DateWindow week{monday, std::min(AddDays(monday, kDays), plan.to,
                                         [](Date a, Date b) { return DayNumber(a) < DayNumber(b); })};
  std::vector<Stretch> stretches;
  for (size_t d = 0; d < plan.devices.size(); ++d) {
    const DevicePlan& device = plan.devices[d];
    const auto settings = StandingSettings(device);
    if (!settings) continue;
    const ClockState clock{device.form.follows_clock_change.value_or(false), 0};
    for (const Run& run : ExpandRuns(device.form, *settings, zone, week, clock)) {
      const auto since = zone.ToLocal(run.start) - Midnight(monday);
      const int from_min = static_cast<int>(chrono::floor<chrono::minutes>(since).count());
      stretches.push_back({from_min, from_min + run.minutes, d});
    }
  }
  std::sort(stretches.begin(), stretches.end(),
            [](const Stretch& a, const Stretch& b) { return a.from_min < b.from_min; });
  return stretches;
}

std::array<int, kMinutesPerDay> MostAtOnce(const std::vector<Stretch>& stretches) {
  std::vector<int> change((kDays + 1) * kMinutesPerDay + 1, 0);
  const auto last = static_cast<int>(change.size()) - 1;
  for (const Stretch& stretch : stretches) {
    ++change[static_cast<size_t>(std::clamp(stretch.from_min, 0, last))];
    --change[static_cast<size_t>(std::clamp(stretch.to_min, 0, last))];
  }
  std::array<int, kMinutesPerDay> most{};
  int running = 0;
  for (size_t minute = 0; minute < change.size(); ++minute) {
    running += change[minute];
    int& at_once = most[minute % kMinutesPerDay];
    at_once = std::max(at_once, running);
  }
  return most;
}

}  // namespace

WeekTogether RunsTogether(const SystemPlan& plan, const Zone& zone) {
  const std::vector<Stretch> stretches = StretchesOf(plan, zone);
  WeekTogether week;
  week.most_at_once = MostAtOnce(stretches);
  std::map<std::pair<size_t, size_t>, Together> pairs;
  for (size_t i = 0; i < stretches.size(); ++i) {
    for (size_t j = i + 1; j < stretches.size() && stretches[j].from_min < stretches[i].to_min; ++j) {
      if (stretches[i].device == stretches[j].device) continue;
      const size_t a = std::min(stretches[i].device, stretches[j].device);
      const size_t b = std::max(stretches[i].device, stretches[j].device);
      const int from_min = stretches[j].from_min;
      const int to_min = std::min(stretches[i].to_min, stretches[j].to_min);
      Together& pair = pairs[std::pair(a, b)];
      if (pair.minutes == 0) {
        const int day_min = from_min / kMinutesPerDay * kMinutesPerDay;
        pair = {plan.devices[a].point.code.text(),
                plan.devices[b].point.code.text(),
                {from_min - day_min, to_min - day_min},
                0};
      }
      pair.minutes += to_min - from_min;
    }
  }
  for (auto& [key, pair] : pairs) week.pairs.push_back(std::move(pair));
  std::stable_sort(week.pairs.begin(), week.pairs.end(),
                   [](const Together& a, const Together& b) { return a.minutes > b.minutes; });
  return week;
}

}  // namespace lastreach
