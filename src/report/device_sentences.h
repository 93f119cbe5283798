#pragma once

#include <array>
#include <string>

#include "plan/device_plan.h"
#include "report/sheet_options.h"

namespace lastreach {

// What is to happen at one device and why, in exactly two sentences an operator would say: the first tells
// what it runs (on the timer's own clock, as keyed) and what that rests on, the second sets it against what
// is keyed now. Residuals have one decimal, water two digits.
//
//   "Runs ten minutes at one and nine in the morning, every day, because the water at the last house is down
//   to its target of 0.4 mg/L after 16 hours without a run."
//   "Four of its six runs a day are spared: 12,000 gallons a month."
std::array<std::string, 2> DeviceSentences(const DevicePlan& device, SheetUnits units);

// The two with a space between.
std::string DeviceInTwoSentences(const DevicePlan& device, SheetUnits units);

// "the last house" for the last service, "house 7 of 12" for "service 7 of 12", "the end of the main" for
// "the end"; else as it is.
std::string PlaceInSpeech(const TapName& place);

}  // namespace lastreach
