#pragma once

#include <optional>
#include <vector>

#include "calendar/settings.h"

namespace lastreach {

// Settings made from other settings by what is quickly keyed: a first day, a percentage, a few minutes more.

// Without what only the day of keying tells: every-N programmes lose their first day.
TimerSettings WithoutFirstDays(TimerSettings settings);
// As keyed on a day: every-N programmes begin on it.
TimerSettings KeyedOn(Date day, TimerSettings settings);

// At another percentage: of the whole timer, or of each programme where the form has it so. None where the
// timer has no percentage, an item of its form that bears on it is not known, or the value is not on its
// steps.
std::optional<TimerSettings> AtPercent(const ControllerForm& form, TimerSettings settings, int percent);
// The percentage those settings stand at; of the first programme where each has its own.
int PercentOf(const TimerSettings& settings);
// Every percentage up to 100 that this timer takes, rising; empty unless 100 is among them.
std::vector<int> PercentsUpTo100(const ControllerForm& form, const TimerSettings& settings);
// Whether they differ in nothing but the percentage.
bool DifferOnlyInPercent(TimerSettings a, TimerSettings b);

// All runs a step of the form longer (5 minutes where the step is not known); none where the timer does not
// take that.
std::optional<TimerSettings> StepLonger(const ControllerForm& form, TimerSettings settings);

}  // namespace lastreach
