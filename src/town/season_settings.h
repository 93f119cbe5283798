#pragma once

#include "calendar/settings.h"
#include "town/device_basis.h"

namespace lastreach {

enum class KeyedSeason { kWinter, kSpring, kSummer, kFall };

// What the card of the device asks for in a season: the same minutes, on more days the warmer it is. `from`
// is the first day of a count of days, where the timer counts.
TimerSettings SeasonSettings(const DeviceBasis& basis, KeyedSeason season, Date from);

}  // namespace lastreach
