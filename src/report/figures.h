#pragma once

#include <string>

#include "core/quantity.h"
#include "report/sheet_options.h"

namespace lastreach {

// Numbers as a sheet prints them, with their unit and no more digits than the kit gives.

// Three significant digits at most, thousands set apart: 1234.5 -> "1,230", 0.5678 -> "0.568".
std::string ThreeDigits(double value);

std::string ResidualText(double mg_per_l);                // 0.437 -> "0.4 mg/L"
std::string VolumeText(Volume volume, SheetUnits units);  // "720 gal"; "2,730 L", "27.3 m3" above 10 m3
std::string FlowText(Flow flow, SheetUnits units);        // "60 gpm", "3.79 L/s"
std::string WaterADayText(double m3_per_day, SheetUnits units);          // "1,440 gal a day", "5.45 m3 a day"
std::string LengthText(Length length, SheetUnits units);                 // "984 ft", "300 m"
std::string TemperatureText(Temperature temperature, SheetUnits units);  // "77 F", "25 C"
std::string PercentText(double share);  // 0.934 -> "93 %"; never 100 % below 0.995

}  // namespace lastreach
