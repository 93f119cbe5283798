#pragma once

#include <string>

#include "core/quantity.h"
#include "report/sheet_options.h"

namespace lastreach {

inline constexpr double kDaysPerMonth = 365.25 / 12;

// Numbers as a sheet prints them, with their unit and no more digits than the kit gives.

// Three significant digits at most, thousands set apart, no zeros at the end of a fraction:
// 1234.5 -> "1,230", 0.5678 -> "0.568", 12 -> "12".
std::string ThreeDigits(double value);
std::string ToTwoDigits(double value);  // the same to two: 1234.5 -> "1,200"

// 0.437 -> "0.4". Field kits read to +-0.1 mg/L, so there is one decimal, and less than 0.05 is "under 0.1"
// rather than 0.0.
std::string ResidualNumber(double mg_per_l);
// The same beside a target: what is below it never prints as if it met it; 0.37 of 0.4 is "just under 0.4".
std::string ResidualNumber(double mg_per_l, double target_mg_per_l);
std::string ResidualText(double mg_per_l);  // "0.4 mg/L"
std::string ResidualText(double mg_per_l, double target_mg_per_l);

std::string VolumeText(Volume volume, SheetUnits units);  // "720 gal"; "2,730 L", from 10 m3 on "27.3 m³"
std::string FlowText(Flow flow, SheetUnits units);        // "60 gpm", "3.79 L/s"
std::string WaterNumber(double m3, SheetUnits units);     // "1,440" gal or "5.45" m3, for table columns
std::string WaterUnit(SheetUnits units);                  // "gal", "m³"
std::string WaterText(double m3, SheetUnits units);       // "1,440 gal", "5.45 m³"
// Two digits, as good as a flow timed with a drum, and the unit in full: "12,000 gallons", "45 m³".
std::string WaterInSpeech(double m3, SheetUnits units);
std::string RoughWaterNumber(double m3, SheetUnits units);            // the same without its unit: "12,000"
std::string WaterUnitInSpeech(SheetUnits units);                      // "gallons", "m³"
std::string LengthText(double length_m, SheetUnits units);            // "984 ft", "300 m"
std::string PressureText(double pressure_m, SheetUnits units);        // "43 psi", "30 m"
std::string TemperatureText(double temperature_c, SheetUnits units);  // "77 °F", "25 °C"

// A share of draws: 0.934 -> "93 %". Draws never prove certainty, so the ends are "over 99 %", "under 1 %".
std::string SurenessText(double share);

}  // namespace lastreach
