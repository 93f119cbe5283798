#include "calendar/warnings.h"

#include <algorithm>

#include "calendar/clock_map.h"

namespace lastreach {
namespace {

std::string Number(int64_t value) { return std::to_string(value); }
std::string Plural(int64_t count, const std::string& one, const std::string& many) {
  return Number(count) + " " + (count == 1 ? one : many);
}
std::string Times(int64_t count) {
  return count == 1 ? "once" : count == 2 ? "twice" : Number(count) + " times";
}

std::string LocalText(const Zone& zone, MinuteInstant minute) {
  return FormatLocal(zone.ToLocal(Instant(minute)));
}

class Writer {
 public:
  Writer(const DeviceSettings& device, const Zone& zone, DateWindow window, ClockState clock,
         const std::vector<Run>& runs)
      : device_(device),
        zone_(zone),
        window_(window),
        clock_(clock),
        clock_map_(zone, clock, window),
        runs_(runs) {}

  std::vector<std::string> Write() {
    if (!device_.settings.on) {
      Say("the timer is off: it makes no runs until somebody switches it on");
      return std::move(said_);
    }
    if (runs_.empty()) SayWhyThereAreNone();
    SayEndless();
    for (const std::string& objection : WhatCannotBeKeyed(device_.form, device_.settings)) {
      Say("this timer cannot be keyed so: " + objection);
    }
    SayOverlap();
    SayMinutes();
    SayClock();
    SayMidnight();
    SayDates();
    return std::move(said_);
  }

 private:
  void Say(std::string sentence) { said_.push_back(std::move(sentence)); }

  void SayWhyThereAreNone() {
    const bool asked = !ExpandStarts(device_.form, device_.settings, zone_, window_, clock_).empty();
    if (asked && device_.form.overlap == Overlap::kMerge) {
      Say("a run that began before these dates is on throughout: each start meets it and lengthens it");
    } else {
      Say("these settings make no run between these dates");
    }
  }

  // A merged run is followed for five weeks; one that is longer may never end.
  void SayEndless() {
    constexpr int kFiveWeeks_min = 35 * 24 * 60;
    for (const Run& run : runs_) {
      if (run.minutes < kFiveWeeks_min) continue;
      Say("the run of " + LocalText(zone_, run.start) +
          " does not end within five weeks: its starts keep meeting it");
      return;
    }
  }

  void SayOverlap() {
    const OverlapCount overlaps = CountOverlaps(device_, zone_, window_, clock_);
    if (overlaps.starts == 0) {
      const auto percent = PercentWhereRunsOverlap(device_, zone_, window_, clock_);
      if (percent) Say("at " + Number(*percent) + " % runs would overlap");
      return;
    }
    std::string sentence = Plural(overlaps.starts, "start falls due", "starts fall due") +
                           " while a run is still on, first on " + LocalText(zone_, overlaps.first) + "; ";
    switch (device_.form.overlap) {
      case Overlap::kQueue:
        sentence += "this timer runs it whole afterwards";
        break;
      case Overlap::kMerge:
        sentence += "this timer makes one run of the two";
        break;
      case Overlap::kDrop:
        sentence += "this timer loses it";
        break;
      case Overlap::kRestart:
        sentence += "this timer ends the run that is on and begins the new one";
        break;
      case Overlap::kUnknown:
        sentence +=
            "what this timer does then is not known: taken here to run it whole afterwards; space the starts";
        break;
    }
    Say(sentence);
  }

  void SayMinutes() {
    for (size_t i = 0; i < device_.settings.programmes.size(); ++i) {
      const Programme& programme = device_.settings.programmes[i];
      const int effective = EffectiveMinutes(device_.form, device_.settings, programme);
      if (programme.starts_min.empty() || effective == programme.minutes) continue;
      const bool own = device_.form.percent_scope == PercentScope::kEach && programme.percent;
      Say("programme " + Number(static_cast<int64_t>(i) + 1) + ": " + Number(programme.minutes) +
          " minutes keyed at " + Number(own ? *programme.percent : device_.settings.percent) + " % run " +
          Number(effective));
    }
  }

  void SayClock() {
    if (clock_.fast_minutes != 0) {
      Say("the clock is taken to be " + Plural(std::abs(clock_.fast_minutes), "minute", "minutes") +
          (clock_.fast_minutes > 0 ? " fast" : " slow"));
    }
    if (!device_.form.follows_clock_change && zone_.Offsets(From(), To()).size() > 1) {
      Say("whether this timer's clock follows the clock change is not known: taken here not to");
    }
    for (const OffsetPiece& piece : zone_.Offsets(From(), To())) {
      if (clock_.follows_clock_change) {
        SayChangeNight(piece);
      } else if (piece.offset != piece.standard_offset && piece.from < To()) {
        const auto shift =
            std::chrono::floor<std::chrono::minutes>(piece.offset - piece.standard_offset).count();
        Say("the clock keeps standard time, so from " +
            FormatDate(DateOf(std::max(piece.from, From()) + piece.offset)) + " everything happens " +
            Plural(shift, "minute", "minutes") + " later by local time");
      }
    }
  }

  // On the night of a change: which keyed starts are skipped to the change or have their hour twice.
  void SayChangeNight(const OffsetPiece& piece) {
    if (piece.from <= From()) return;
    const MinuteInstant change = std::chrono::floor<std::chrono::minutes>(piece.from);
    const int64_t after = clock_map_.Reading(change.time_since_epoch().count());
    const int64_t before = clock_map_.Reading(change.time_since_epoch().count() - 1) + 1;
    for (const Programme& programme : device_.settings.programmes) {
      for (const int start : programme.starts_min) {
        const int64_t low = std::min(before, after);
        const int64_t high = std::max(before, after);
        const int64_t day = low / 1440 * 1440;
        if (day + start < low || day + start >= high) continue;
        Say("start " + FormatTimeOfDay(start) + " is in the hour " +
            (after > before ? "skipped" : "repeated") + " on " +
            FormatDate(DateOf(piece.from + piece.offset)) +
            (after > before ? ": it happens at " + FormatTimeOfDay(static_cast<int>(after % 1440))
                            : ": it happens the first time only"));
      }
    }
  }

  void SayMidnight() {
    int64_t crossing = 0;
    for (const Run& run : runs_) {
      const int64_t start = clock_map_.Reading(run.start.time_since_epoch().count());
      if (start / 1440 != (start + run.minutes - 1) / 1440) ++crossing;
    }
    if (crossing > 0) {
      Say(Plural(crossing, "run goes", "runs go") +
          " past midnight on the device's clock; each belongs to the day it started on");
    }
  }

  // Months that end on an odd date bring the 31st and the 1st together, and part the 30th from the 2nd.
  void SayDates() {
    int64_t odd_pairs = 0;
    int64_t even_gaps = 0;
    for (Date day = window_.from; day < window_.to; day = AddDays(day, 1)) {
      const bool last_is_odd =
          AddDays(day, 1).month() != day.month() && static_cast<unsigned>(day.day()) % 2 == 1;
      if (last_is_odd && AddDays(day, 1) < window_.to) {
        ++odd_pairs;
        ++even_gaps;
      }
    }
    const bool skips = device_.form.odd_skips_31st.value_or(false);
    for (size_t i = 0; i < device_.settings.programmes.size(); ++i) {
      const Programme& programme = device_.settings.programmes[i];
      const std::string name = "programme " + Number(static_cast<int64_t>(i) + 1);
      if (programme.starts_min.empty()) continue;
      if (std::holds_alternative<OddDates>(programme.days) && odd_pairs > 0) {
        Say(name + ", odd dates: months that end on an odd date " +
            (skips ? "leave the 31st out" : "run two days together") + ", " + Times(odd_pairs) +
            " between these dates");
      }
      if (std::holds_alternative<EvenDates>(programme.days) && even_gaps > 0) {
        Say(name + ", even dates: three days pass without a run where a month ends on an odd date, " +
            Times(even_gaps) + " between these dates");
      }
    }
  }

  Instant From() const { return zone_.FirstInstant(Midnight(window_.from)); }
  Instant To() const { return zone_.FirstInstant(Midnight(window_.to)); }

  const DeviceSettings& device_;
  const Zone& zone_;
  DateWindow window_;
  ClockState clock_;
  ClockMap clock_map_;
  const std::vector<Run>& runs_;
  std::vector<std::string> said_;
};

}  // namespace

std::vector<std::string> CalendarWarnings(const DeviceSettings& device, const Zone& zone, DateWindow window,
                                          ClockState clock, const std::vector<Run>& runs) {
  return Writer(device, zone, window, clock, runs).Write();
}

OverlapCount CountOverlaps(const DeviceSettings& device, const Zone& zone, DateWindow window,
                           ClockState clock) {
  OverlapCount count;
  std::optional<MinuteInstant> busy_until;
  for (const Run& asked : ExpandStarts(device.form, device.settings, zone, window, clock)) {
    if (busy_until && asked.start < *busy_until) {
      if (count.starts == 0) count.first = asked.start;
      ++count.starts;
    }
    busy_until = busy_until ? std::max(*busy_until, asked.end()) : asked.end();
  }
  return count;
}

std::optional<int> PercentWhereRunsOverlap(const DeviceSettings& device, const Zone& zone, DateWindow window,
                                           ClockState clock) {
  if (device.form.percent_scope == PercentScope::kNone) return std::nullopt;
  DeviceSettings raised = device;
  const int step = device.form.percent_step.value_or(10);
  for (int percent = device.settings.percent + step; percent <= device.form.percent_max.value_or(200);
       percent += step) {
    raised.settings.percent = percent;
    if (CountOverlaps(raised, zone, window, clock).starts > 0) return percent;
  }
  return std::nullopt;
}

}  // namespace lastreach
