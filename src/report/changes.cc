#include "report/changes.h"

#include <algorithm>

#include "report/words.h"

namespace lastreach {
namespace {

constexpr std::string_view kArrow = " \u2192 ";

std::string FromTo(const std::string& from, const std::string& to) { return from + std::string(kArrow) + to; }

// "130 % back to 100 %" tells that the seasonal adjustment is undone.
std::string PercentFromTo(int from, int to) {
  if (to == 100) return std::to_string(from) + " % back to 100 %";
  return FromTo(std::to_string(from) + " %", std::to_string(to) + " %");
}

std::vector<int> InOrder(std::vector<int> starts_min) {
  std::sort(starts_min.begin(), starts_min.end());
  return starts_min;
}

std::string StartsInWords(const std::vector<int>& starts_min) {
  std::vector<std::string> times;
  times.reserve(starts_min.size());
  for (const int start : starts_min) times.push_back(FormatTimeOfDay(start));
  return (times.size() == 1 ? "start " : "starts ") + JoinedWithAnd(times);
}

void AddStartChanges(const std::vector<int>& present, const std::vector<int>& planned,
                     const std::string& name, std::vector<std::string>& changes) {
  const std::vector<int> before = InOrder(present);
  const std::vector<int> after = InOrder(planned);
  std::vector<int> removed;
  std::vector<int> added;
  std::set_difference(before.begin(), before.end(), after.begin(), after.end(), std::back_inserter(removed));
  std::set_difference(after.begin(), after.end(), before.begin(), before.end(), std::back_inserter(added));
  if (removed.size() == 1 && added.size() == 1) {
    changes.push_back(name + "start " + FromTo(FormatTimeOfDay(removed[0]), FormatTimeOfDay(added[0])));
    return;
  }
  if (!removed.empty()) changes.push_back(name + StartsInWords(removed) + " removed");
  if (!added.empty()) changes.push_back(name + StartsInWords(added) + " added");
}

void AddProgrammeChanges(const Programme& present, const Programme& planned, const std::string& name,
                         SheetUnits units, std::vector<std::string>& changes) {
  AddStartChanges(present.starts_min, planned.starts_min, name, changes);
  if (present.minutes != planned.minutes) {
    changes.push_back(name + "minutes " +
                      FromTo(std::to_string(present.minutes), std::to_string(planned.minutes)));
  }
  if (present.days != planned.days) {
    changes.push_back(name + "days " +
                      FromTo(DaysInShort(present.days, units), DaysInShort(planned.days, units)));
  }
}

}  // namespace

std::vector<std::string> ChangesBetween(const ControllerForm& form, const TimerSettings& present,
                                        const TimerSettings& planned, SheetUnits units) {
  std::vector<std::string> changes;
  if (present.on != planned.on) changes.emplace_back(planned.on ? "Turn it ON; it was OFF" : "Turn it OFF");
  const bool each = form.percent_scope == PercentScope::kEach;
  if (!each && form.percent_scope != PercentScope::kNone && present.percent != planned.percent) {
    changes.push_back("Percentage " + PercentFromTo(present.percent, planned.percent));
  }
  const Programme nothing;
  const size_t count = std::max(present.programmes.size(), planned.programmes.size());
  for (size_t i = 0; i < count; ++i) {
    const Programme& before = i < present.programmes.size() ? present.programmes[i] : nothing;
    const Programme& after = i < planned.programmes.size() ? planned.programmes[i] : nothing;
    const std::string name = ProgrammeName(i, units) + ": ";
    if (IsUsed(before) && IsUsed(after)) {
      AddProgrammeChanges(before, after, name, units, changes);
      const int percent = PercentOf(form, planned, after);
      const int percent_before = PercentOf(form, present, before);
      if (each && percent != percent_before) {
        changes.push_back(name + "percentage " + PercentFromTo(percent_before, percent));
      }
    } else if (IsUsed(before)) {
      changes.push_back(name + "off");
    } else if (IsUsed(after)) {
      changes.push_back(name + "newly used");
    }
  }
  return changes;
}

}  // namespace lastreach
