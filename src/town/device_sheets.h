#pragma once

#include <string>

namespace lastreach {

// The sheets typed from the lids and the binder, as text. Each is the same to the byte every time.
std::string DevicesSheet();   // devices.csv, 24 rows
std::string TimersSheet();    // timers.csv, three forms
std::string ZonesSheet();     // zones.csv, two supply zones
std::string LimitsSheet();    // limits.csv
std::string SettingsSheet();  // settings.csv, as-found and as-left
std::string TownReadme();     // README.txt: what each sheet is and which trap sits where

}  // namespace lastreach
