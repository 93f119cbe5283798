#include "report/device_sentences.h"

#include <cmath>
#include <cstdio>
#include <optional>

#include "report/figures.h"
#include "report/speech.h"
#include "report/words.h"

namespace lastreach {
namespace {

constexpr char kNeverRecorded[] =
    "What is keyed now was never recorded, so nothing can be said of what it does.";

constexpr char kLookUpstream[] = ": look at the main, the tank and the valves upstream.";

std::string AMonth(double m3_per_day, SheetUnits units) {
  return WaterInSpeech(m3_per_day * kDaysPerMonth, units) + " a month";
}

std::string TargetOf(const DevicePlan& device) { return ResidualText(device.target_mg_per_l); }

// What keeps the runs where they are: the lowest water, where it is and after how long without a run.
std::string Because(const DevicePlan& device) {
  const Outcome& outcome = *device.planned_outcome;
  const std::string lowest = ResidualText(outcome.lowest_mg_per_l, device.target_mg_per_l);
  const std::string low =
      lowest == TargetOf(device) ? "its target of " + lowest : lowest + ", target " + TargetOf(device) + ",";
  const std::string when = outcome.longest_gap_h > 0
                               ? "after " + HoursInSpeech(outcome.longest_gap_h) + " without a run"
                               : "at the worst moment";
  return "because the water at " + PlaceInSpeech(outcome.lowest_at) + " may be down to " + low + " " + when;
}

// "Four of its eight runs a day": in the shortest stretch of time over which both counts are whole.
std::optional<std::string> RunsSpared(double before_per_day, double after_per_day) {
  struct Stretch {
    double days;
    const char* name;
    double tolerance;
  };
  constexpr Stretch kStretches[] = {{1, "day", 0.02}, {7, "week", 0.1}, {kDaysPerMonth, "month", 1}};
  if (after_per_day > before_per_day - 0.02) return std::nullopt;
  for (const Stretch& stretch : kStretches) {
    const double before = before_per_day * stretch.days;
    const double spared = before - after_per_day * stretch.days;
    if (std::abs(before - std::round(before)) > stretch.tolerance ||
        std::abs(spared - std::round(spared)) > stretch.tolerance || std::round(spared) < 1) {
      continue;
    }
    std::string many = NumberInSpeech(static_cast<int>(std::lround(spared)));
    many[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(many[0])));
    return many + " of its " + NumberInSpeech(static_cast<int>(std::lround(before))) +
           (std::lround(before) == 1 ? " run a " : " runs a ") + stretch.name +
           (std::lround(spared) == 1 ? " is spared" : " are spared");
  }
  return std::nullopt;
}

// How much more or less than `now`; within a twentieth, less than any flow is known to, the same.
std::string AgainstNow(double planned_m3_per_day, double now_m3_per_day, SheetUnits units) {
  const double more = planned_m3_per_day - now_m3_per_day;
  if (std::abs(more) <= 0.05 * std::max(planned_m3_per_day, now_m3_per_day)) return "about as much water";
  return AMonth(std::abs(more), units) + (more > 0 ? " more" : " less");
}

std::string AgainstPresent(const DevicePlan& device, SheetUnits units) {
  if (!device.present || !device.present_outcome) return kNeverRecorded;
  const Outcome& planned = *device.planned_outcome;
  const Outcome& present = *device.present_outcome;
  const std::string against = AgainstNow(planned.water_m3_per_day, present.water_m3_per_day, units);
  if (present.sureness < device.asked_sureness) {
    return "What is keyed now may let it fall to " +
           ResidualText(present.lowest_mg_per_l, device.target_mg_per_l) + "; these settings take " +
           against + ".";
  }
  if (against.ends_with(" less")) {
    const auto runs = RunsSpared(present.runs_per_day, planned.runs_per_day);
    const std::string saved = against.substr(0, against.size() - 5);
    return runs ? *runs + ": " + saved + "." : "It spares " + saved + " against what is keyed now.";
  }
  return "What is keyed now holds too, but overlaps, breaks a limit or stands on a clock that is out; these "
         "settings take " +
         against + ".";
}

std::array<std::string, 2> Runs(const DevicePlan& device, SheetUnits units) {
  const bool keep = device.verdict == Verdict::kKeep;
  if (!device.planned_outcome || !MakesRuns(device.settings)) {
    return {"Is to stand OFF.", "Write date and name beside it, and read the residual at every visit."};
  }
  const std::string first = (keep ? "Keeps running " : "Runs ") +
                            ScheduleInSpeech(device.form, device.settings) + ", " + Because(device) + ".";
  if (!keep) return {first, AgainstPresent(device, units)};
  return {first, "That takes " + AMonth(device.planned_outcome->water_m3_per_day, units) +
                     ", and what could be saved is not worth a visit."};
}

// Empty where nothing runs or nobody knows.
std::string WhatRunsNow(const DevicePlan& device, SheetUnits units, const std::string& then) {
  if (!device.present || !device.present_outcome || !MakesRuns(*device.present)) return "";
  return "What runs now, " + AMonth(device.present_outcome->water_m3_per_day, units) + ", " + then;
}

std::array<std::string, 2> NoFlush(const DevicePlan& device, SheetUnits units) {
  std::string first = "Needs no flushing, because the customers' own use keeps the water fresh";
  if (device.planned_outcome) {
    first += ": with the device off " + PlaceInSpeech(device.planned_outcome->lowest_at) + " still has " +
             ResidualText(device.planned_outcome->lowest_mg_per_l, device.target_mg_per_l) +
             " at the worst moment";
  }
  const std::string now = WhatRunsNow(device, units, "could be spared.");
  if (!now.empty()) return {first + ".", now};
  return {first + ".", device.present ? "It runs nothing now, and that can stay so." : kNeverRecorded};
}

std::array<std::string, 2> NotTheAnswer(const DevicePlan& device, SheetUnits units) {
  const bool weak = device.reach.upstream_mg_per_l < 1.25 * device.target_mg_per_l;
  const std::string first =
      weak ? "Flushing is not the answer, because the water that comes in has " +
                 ResidualText(device.reach.upstream_mg_per_l, device.target_mg_per_l) +
                 " and the target is " + TargetOf(device) + "."
           : "Flushing is not the answer, because the water loses too much on the way even with the device "
             "open round the clock.";
  const std::string now = WhatRunsNow(device, units, "will not mend that");
  return {first, (now.empty() ? "Leave the timer as it is found" : now) + kLookUpstream};
}

std::array<std::string, 2> CannotHold(const DevicePlan& device, SheetUnits units) {
  const std::string first =
      "No settings this timer and your limits allow will hold " + TargetOf(device) + " here.";
  if (!device.present || !device.present_outcome) {
    return {first, "Leave the timer as it is found; what would help is listed with the plan."};
  }
  const Outcome& now = *device.present_outcome;
  return {first, "What is keyed now takes " + AMonth(now.water_m3_per_day, units) + " and leaves " +
                     ResidualText(now.lowest_mg_per_l, device.target_mg_per_l) + " at " +
                     PlaceInSpeech(now.lowest_at) + "; what would help is listed with the plan."};
}

std::array<std::string, 2> TooLittleKnown(const DevicePlan& device) {
  constexpr std::string_view kPrefix = "Too little is known: ";
  std::string what = device.reasons.empty() ? "" : device.reasons.front();
  if (what.starts_with(kPrefix)) what.erase(0, kPrefix.size());
  if (what.ends_with('.')) what.pop_back();
  const bool one_phrase = !what.empty() && what.find(". ") == std::string::npos;
  return {"Too little is known to say what to key" + (one_phrase ? ": " + what : "") + ".",
          "Leave the timer as it is found, find that out and plan again."};
}

}  // namespace

std::string PlaceInSpeech(const TapName& place) {
  int number = 0;
  int of = 0;
  int read = 0;
  if (place.words == "the end") return "the end of the main";
  if (std::sscanf(place.words.c_str(), "service %d of %d%n", &number, &of, &read) != 2 ||
      static_cast<size_t>(read) != place.words.size()) {
    return place.words;
  }
  if (of == 1) return "the only house";
  return number == of ? "the last house" : "house " + std::to_string(number) + " of " + std::to_string(of);
}

std::array<std::string, 2> DeviceSentences(const DevicePlan& device, SheetUnits units) {
  switch (device.verdict) {
    case Verdict::kChange:
    case Verdict::kKeep:
      return Runs(device, units);
    case Verdict::kNoFlushNeeded:
      return NoFlush(device, units);
    case Verdict::kFlushingIsNotTheAnswer:
      return NotTheAnswer(device, units);
    case Verdict::kCannotHold:
      return CannotHold(device, units);
    case Verdict::kTooLittleKnown:
      break;
  }
  return TooLittleKnown(device);
}

std::string DeviceInTwoSentences(const DevicePlan& device, SheetUnits units) {
  const std::array<std::string, 2> both = DeviceSentences(device, units);
  return both[0] + " " + both[1];
}

}  // namespace lastreach
