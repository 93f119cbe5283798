#include "calendar/settings.h"

#include <algorithm>
#include <array>
#include <bit>

namespace lastreach {
namespace {

constexpr std::array<const char*, 7> kDayNames = {"Monday", "Tuesday",  "Wednesday", "Thursday",
                                                  "Friday", "Saturday", "Sunday"};

DayPatternKind KindOf(const DayPattern& days) {
  constexpr std::array<DayPatternKind, 4> kKinds = {DayPatternKind::kWeekdays, DayPatternKind::kOdd,
                                                    DayPatternKind::kEven, DayPatternKind::kEveryN};
  return kKinds[days.index()];
}

std::string Joined(const std::vector<std::string>& words) {
  std::string text;
  for (size_t i = 0; i < words.size(); ++i) {
    if (i > 0) text += i + 1 == words.size() ? " and " : ", ";
    text += words[i];
  }
  return text;
}

// Collects sentences about values outside what the form accepts.
class Objections {
 public:
  void Range(const std::string& what, int value, const std::optional<int>& least,
             const std::optional<int>& most, const std::string& unit) {
    if (least && value < *least) {
      Add(what + " " + std::to_string(value) + unit + " is below the least of " + std::to_string(*least));
    }
    if (most && value > *most) {
      Add(what + " " + std::to_string(value) + unit + " is above the most of " + std::to_string(*most));
    }
  }
  void Step(const std::string& what, int value, const std::optional<int>& step) {
    if (step && value % *step != 0) {
      Add(what + " " + std::to_string(value) + " is not on a step of " + std::to_string(*step));
    }
  }
  void Add(std::string sentence) { sentences_.push_back(std::move(sentence)); }
  std::vector<std::string> Take() { return std::move(sentences_); }

 private:
  std::vector<std::string> sentences_;
};

void ObjectToDays(const ControllerForm& form, const DayPattern& days, const std::string& name,
                  Objections& to) {
  if (form.day_patterns && std::find(form.day_patterns->begin(), form.day_patterns->end(), KindOf(days)) ==
                               form.day_patterns->end()) {
    to.Add(name + ": the timer has no day pattern of the kind '" + std::string(ToText(KindOf(days))) + "'");
  }
  if (const auto* every = std::get_if<EveryNDays>(&days)) {
    to.Range(name + ": every", every->n, 1, form.every_n_max, " days");
  }
}

void ObjectToProgramme(const ControllerForm& form, const Programme& programme, const std::string& name,
                       Objections& to) {
  if (form.starts_per_programme &&
      static_cast<int>(programme.starts_min.size()) > *form.starts_per_programme) {
    to.Add(name + " has " + std::to_string(programme.starts_min.size()) + " starts; the timer takes " +
           std::to_string(*form.starts_per_programme));
  }
  for (const int start : programme.starts_min) {
    if (form.start_step_minutes && start % *form.start_step_minutes != 0) {
      to.Add(name + ": start " + FormatTimeOfDay(start) + " is not on a step of " +
             std::to_string(*form.start_step_minutes) + " minutes");
    }
  }
  if (!programme.starts_min.empty()) {
    to.Range(name + ":", programme.minutes, form.minutes_min, form.minutes_max, " minutes");
    to.Step(name + ": minutes", programme.minutes, form.minutes_step);
    ObjectToDays(form, programme.days, name, to);
  }
  if (programme.percent && form.percent_scope != PercentScope::kEach) {
    to.Add(name + " has a percentage of its own, which the form does not give this timer");
  }
}

}  // namespace

int Weekdays::count() const { return std::popcount(bits); }

int EffectiveMinutes(const ControllerForm& form, const TimerSettings& settings, const Programme& programme) {
  const int percent =
      form.percent_scope == PercentScope::kEach && programme.percent ? *programme.percent : settings.percent;
  const int64_t step = form.minutes_step.value_or(1);
  // minutes * percent / 100 to the nearest step, halves up, in whole numbers so that halves are exact.
  const int64_t hundredths = int64_t{programme.minutes} * percent;
  int64_t minutes = (2 * hundredths + 100 * step) / (200 * step) * step;
  if (form.minutes_min) minutes = std::max<int64_t>(minutes, *form.minutes_min);
  if (form.minutes_max) minutes = std::min<int64_t>(minutes, *form.minutes_max);
  return static_cast<int>(minutes);
}

std::vector<std::string> WhatCannotBeKeyed(const ControllerForm& form, const TimerSettings& settings) {
  Objections to;
  if (form.programmes && static_cast<int>(settings.programmes.size()) > *form.programmes) {
    to.Add(std::to_string(settings.programmes.size()) + " programmes; the timer has " +
           std::to_string(*form.programmes));
  }
  if (form.percent_scope == PercentScope::kNone) {
    if (settings.percent != 100) to.Add("a percentage, which this timer does not have");
  } else {
    to.Range("percentage", settings.percent, form.percent_min, form.percent_max, " %");
    to.Step("percentage", settings.percent, form.percent_step);
  }
  for (size_t i = 0; i < settings.programmes.size(); ++i) {
    ObjectToProgramme(form, settings.programmes[i], "programme " + std::to_string(i + 1), to);
  }
  return to.Take();
}

std::string Describe(const DayPattern& days) {
  if (const auto* weekdays = std::get_if<Weekdays>(&days)) {
    if (*weekdays == kEveryWeekday) return "every day";
    if (weekdays->bits == 0) return "no day";
    std::vector<std::string> names;
    for (int day = 0; day < 7; ++day) {
      if (weekdays->Has(day)) names.emplace_back(kDayNames[static_cast<size_t>(day)]);
    }
    return Joined(names);
  }
  if (std::holds_alternative<OddDates>(days)) return "odd dates";
  if (std::holds_alternative<EvenDates>(days)) return "even dates";
  const auto& every = std::get<EveryNDays>(days);
  std::string text = every.n == 1 ? "every day" : "every " + std::to_string(every.n) + " days";
  if (every.from) return text + " from " + FormatDate(*every.from);
  return every.n == 1 ? text : text + ", first day not known";
}

}  // namespace lastreach
