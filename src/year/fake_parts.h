#pragma once

#include <cmath>
#include <vector>

#include "plan/test_devices.h"
#include "year/device_parts.h"
#include "year/year_parts.h"

// A device that is made up for the tests of this room: settings hold a part if they open the valve for at
// least so many minutes a day, and it uses a cubic metre a minute.
namespace lastreach {

class FakeParts : public DeviceParts {
 public:
  FakeParts(std::vector<YearPart> year, std::vector<int> needed_min)
      : year_(std::move(year)), needed_min_(std::move(needed_min)) {}

  static TimerSettings Settings(int minutes) {
    TimerSettings settings;
    settings.on = minutes > 0;
    if (minutes > 0) settings.programmes = {{{120}, minutes, kEveryWeekday, {}}};
    return settings;
  }

  DevicePlan Plan(size_t part) override {
    ++plans;
    DevicePlan plan;
    plan.form = form;
    const int needed = needed_min_[part];
    plan.verdict = needed < 0    ? Verdict::kCannotHold
                   : needed == 0 ? Verdict::kNoFlushNeeded
                                 : Verdict::kChange;
    if (needed < 0) return plan;
    plan.settings = Settings(needed);
    plan.planned_outcome = Judge(part, plan.settings, 0);
    return plan;
  }
  double Water_m3(size_t part, const TimerSettings& settings) override {
    return Minutes(settings) * year_[part].length_days();
  }
  bool KeepsRules(size_t part, const TimerSettings& settings) override {
    return !forbidden(part, settings) && (!settings.on || WhatCannotBeKeyed(form, settings).empty());
  }
  bool SeemsToHold(size_t part, const TimerSettings& settings) override {
    return Minutes(settings) >= needed_min_[part] + seems_wrong_by;
  }
  Outcome Judge(size_t part, const TimerSettings& settings, double) override {
    ++judgements;
    Outcome outcome;
    const bool holds = needed_min_[part] >= 0 && Minutes(settings) >= needed_min_[part] &&
                       !fails_all_the_same(part, settings);
    outcome.sureness = holds ? 0.95 : 0.5;
    outcome.lowest_mg_per_l = holds ? 0.4 : 0.1;
    outcome.water_m3_per_day = Minutes(settings);
    outcome.lowest_at = {1, "service 1 of 1"};
    return outcome;
  }
  std::vector<std::string> AsWorstWeek(size_t) override { return {}; }

  double Minutes(const TimerSettings& settings) const {
    if (!settings.on) return 0;
    double minutes = 0;
    for (const Programme& p : settings.programmes) {
      minutes += EffectiveMinutes(form, settings, p) * static_cast<double>(p.starts_min.size());
    }
    return minutes;
  }

  ControllerForm form = RichForm();
  std::function<bool(size_t, const TimerSettings&)> forbidden = [](size_t, const TimerSettings&) {
    return false;
  };
  std::function<bool(size_t, const TimerSettings&)> fails_all_the_same = [](size_t, const TimerSettings&) {
    return false;
  };
  int seems_wrong_by = 0;
  int plans = 0, judgements = 0;

 private:
  std::vector<YearPart> year_;
  std::vector<int> needed_min_;
};

inline std::vector<YearPart> FourSeasons(const std::set<int>& cuts = {}) {
  return PartsOfYear(*ParseDate("2026-04-01"), YearDivision::kSeasons, false, cuts);
}
inline std::vector<YearPart> TwelveMonths() {
  return PartsOfYear(*ParseDate("2026-04-01"), YearDivision::kMonths, false);
}

}  // namespace lastreach
