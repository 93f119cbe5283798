#include "year/turned_settings.h"

namespace lastreach {
namespace {

constexpr int kUnknownStep_min = 5;  // as planning takes it

void SetFirstDays(TimerSettings& settings, const std::optional<Date>& day) {
  for (Programme& programme : settings.programmes) {
    if (auto* every = std::get_if<EveryNDays>(&programme.days)) every->from = day;
  }
}

}  // namespace

TimerSettings WithoutFirstDays(TimerSettings settings) {
  SetFirstDays(settings, std::nullopt);
  return settings;
}

TimerSettings KeyedOn(Date day, TimerSettings settings) {
  SetFirstDays(settings, day);
  return settings;
}

std::optional<TimerSettings> AtPercent(const ControllerForm& form, TimerSettings settings, int percent) {
  const PercentScope scope = form.percent_scope.value_or(PercentScope::kNone);
  if (scope == PercentScope::kNone || !form.percent_min || !form.percent_max || !form.percent_step) return {};
  if (scope == PercentScope::kAll) {
    settings.percent = percent;
  } else {
    for (Programme& programme : settings.programmes) {
      programme.percent = percent == 100 ? std::nullopt : std::optional<int>(percent);
    }
  }
  if (!WhatCannotBeKeyed(form, settings).empty()) return {};
  return settings;
}

int PercentOf(const TimerSettings& settings) {
  for (const Programme& programme : settings.programmes) {
    if (programme.percent) return *programme.percent;
  }
  return settings.percent;
}

std::vector<int> PercentsUpTo100(const ControllerForm& form, const TimerSettings& settings) {
  std::vector<int> percents;
  for (int percent = 1; percent <= 100; ++percent) {
    if (AtPercent(form, settings, percent)) percents.push_back(percent);
  }
  if (percents.empty() || percents.back() != 100) return {};
  return percents;
}

bool DifferOnlyInPercent(TimerSettings a, TimerSettings b) {
  if (a == b) return false;
  for (TimerSettings* settings : {&a, &b}) {
    settings->percent = 100;
    for (Programme& programme : settings->programmes) programme.percent.reset();
  }
  return a == b;
}

std::optional<TimerSettings> StepLonger(const ControllerForm& form, TimerSettings settings) {
  for (Programme& programme : settings.programmes) {
    if (!programme.starts_min.empty()) programme.minutes += form.minutes_step.value_or(kUnknownStep_min);
  }
  if (!settings.on || !WhatCannotBeKeyed(form, settings).empty()) return {};
  return settings;
}

}  // namespace lastreach
