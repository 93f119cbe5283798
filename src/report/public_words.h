#pragma once

#include <optional>
#include <string>
#include <vector>

#include "calendar/runs.h"
#include "core/zone.h"
#include "plan/device_plan.h"
#include "report/sheet_options.h"
#include "report/speech.h"

namespace lastreach {

// The hours of one kind of day at which water may be seen running, on everybody's clock.
struct DayHours {
  std::string days;  // "Monday and Thursday", "the day after an odd date"
  std::vector<ClockSpan> spans;
};

// The same from one clock change to the next.
struct HoursOfStretch {
  Date from;
  Date to;  // left out
  std::vector<DayHours> days;
  int perhaps_earlier_min = 0;  // by which it may all be earlier: whether the clock moves itself is not known
};

// When the public may see these settings run: what the calendar makes of them (queued runs, clock changes the
// timer does not follow), told in local hours. Runs less than a quarter of an hour apart are told as one.
// Starts keyed late in the evening that come after midnight in summer count on the day they come. Empty if
// there are no runs. REQUIRES: window.from < window.to.
std::vector<HoursOfStretch> PublicHours(const ControllerForm& form, const TimerSettings& settings,
                                        const Zone& zone, DateWindow window, SheetUnits units,
                                        int clock_fast_minutes = 0);

// "1:10 to 1:35 in the morning, Monday and Thursday"; kinds of days set apart by semicolons; with more than
// one stretch "until October 31 2:10 to 2:35 in the morning, every day; from November 1 ...". "" for no runs.
std::string PublicHoursInWords(const std::vector<HoursOfStretch>& hours, SheetUnits units);
// What is keyed at a device from the visit on: the planned settings where there is something to key or keep,
// else what was found; none where that was never recorded.
std::optional<TimerSettings> StandingSettings(const DevicePlan& device);

// The words of the sign beside the outlet.
struct SignWords {
  std::string headline = "This water runs on purpose";
  std::vector<std::string> hours;  // short lines to be set large
  std::string in_one_line;         // the same as a clerk would say it; empty for no runs
  std::string purpose = "It keeps the water in this street fresh.";
  std::string questions;  // "Questions, or running at another hour: 555 0100"
};
SignWords SignFor(const DevicePlan& device, const SystemPlan& plan, const Zone& zone,
                  const SheetOptions& options);
// On one line: "This water runs on purpose: 1:10 to 1:35 in the morning, Monday and Thursday. It keeps ...".
std::string SignInOneLine(const SignWords& sign);

// What a clerk needs to answer for one device.
struct PhoneWords {
  std::string place;
  std::string code;
  std::string planned;    // hours as planned, or that it should not run
  std::string till_then;  // hours until somebody has keyed that; empty where nothing is to be keyed
  bool runs = false;
};
PhoneWords PhoneWordsFor(const DevicePlan& device, const SystemPlan& plan, const Zone& zone,
                         SheetUnits units);

}  // namespace lastreach
