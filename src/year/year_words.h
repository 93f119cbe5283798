#pragma once

#include <string>

#include "year/device_choices.h"
#include "year/year_plan.h"

namespace lastreach {

// "02:00 14:00 25 min, every day; 60 %", "off".
std::string SettingsInWords(const TimerSettings& settings);

// What there is to say of a part beyond its settings: off for frost and what its end then holds, or that
// nothing holds it. Empty where it is held.
std::string WordsOnPart(const PartOfDevice& part, const DevicePlan& plan, const FrostSpell& frost);

// "percentage to 60 %", "off", "key in: 02:00 25 min, every day".
std::string WordsOnChange(const SettingsChange& change);

}  // namespace lastreach
